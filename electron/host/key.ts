import { randomBytes, timingSafeEqual } from "node:crypto";
import { refusal, reply, WINDOW_POLICY } from "./replies.ts";

/**
 * The secret of one run of the browser's door. Who has the printed address has it; another person or program on this
 * machine, who can reach the port as well, has not. It is printed in the terminal of whoever started the program, who may
 * open as many windows with it as they like; what is handed to other programs is a pass.
 */
export interface Key {
  readonly secret: string;
  /**
   * Where the window and all it asks for lie, "/w/…/", told to nobody who has not the key. Browsers send cookies to every port of
   * a machine, but only below their path: whoever takes a port that another study had gets no cookie of this one.
   */
  readonly base: string;
  readonly cookie: string;
  readonly passes: Passes;
}

export function newKey(port: number): Key {
  return {
    secret: newSecret(),
    base: `/${FOLDER}/${newSecret()}/`,
    cookie: `blademark-${port}`,
    passes: new Passes(),
  };
}

const FOLDER = "w";

function newSecret(): string {
  return randomBytes(24).toString("base64url");
}

/** Secrets that open one window and no second, for a while. */
export class Passes {
  readonly #open = new Map<string, () => void>();

  make(ms: number, onOver: () => void): string {
    const pass = newSecret();
    const late = setTimeout(() => this.#end(pass), ms).unref();
    this.#open.set(pass, () => {
      clearTimeout(late);
      onOver();
    });
    return pass;
  }

  /** Whether that is one of them; it is none from now on. */
  use(given: string): boolean {
    const found = [...this.#open.keys()].find((pass) => same(pass, given));
    if (found !== undefined) this.#end(found);
    return found !== undefined;
  }

  close(): void {
    for (const pass of this.#open.keys()) this.#end(pass);
  }

  #end(pass: string): void {
    const onOver = this.#open.get(pass);
    this.#open.delete(pass);
    onOver?.();
  }
}

const QUERY = "key";

/** The address that opens the window. */
export function keyedAddress(origin: string, secret: string): string {
  return `${origin}/?${QUERY}=${secret}`;
}

/**
 * The first visit carries the key or a pass in its address: it gets the key as a cookie that no script can read and no
 * other site can make the browser send, and goes on to the window's own path.
 *
 * @returns null when the request is no such visit
 */
export function firstVisit(request: Request, key: Key, origins: ReadonlySet<string>): Response | null {
  const { origin, pathname, searchParams } = new URL(request.url);
  const given = searchParams.get(QUERY);
  if (given === null || request.method !== "GET" || pathname !== "/" || !origins.has(origin)) return null;
  if (!same(given, key.secret) && !key.passes.use(given)) return null;
  const headers = {
    "set-cookie": `${key.cookie}=${key.secret}; HttpOnly; SameSite=Strict; Path=${key.base}`,
  };
  const site = request.headers.get("sec-fetch-site");
  if (site === null || site === "none" || site === "same-origin")
    return reply(null, 303, { ...headers, location: key.base });
  // From the page that the system's browser was given: such a cookie is sent only on a way that begins at its own site.
  return reply(page(`<meta http-equiv="refresh" content="0;url=${key.base}">`), 200, { ...headers, ...PAGE });
}

/**
 * All but the first visit needs the cookie, at the window's own path.
 *
 * @returns the refusal, or null when the request may pass
 */
export function askForKey(request: Request, key: Key): Response | null {
  if (hasKey(request, key)) return null;
  const [, folder, , asked] = new URL(request.url).pathname.split("/");
  // A window of an earlier run: its path and its cookie are that run's.
  if (folder === FOLDER && asked === "api") return refusal(401, "no-key", OTHER_RUN);
  if (folder === "api") return refusal(401, "no-key", NO_KEY);
  return reply(page(`<p>${NO_KEY}</p>`), 401, PAGE);
}

export function hasKey(request: Request, key: Key): boolean {
  return (
    new URL(request.url).pathname.startsWith(key.base) && same(cookieOf(request, key.cookie), key.secret)
  );
}

const PAGE = { "content-type": "text/html; charset=utf-8", "content-security-policy": WINDOW_POLICY };

function page(content: string): string {
  return `<!doctype html><html lang="en"><meta charset="utf-8"><title>Blademark</title>${content}</html>`;
}

const NO_KEY =
  "This window has no key to the study. Blademark makes a new one each time it starts: open the whole address it printed, from http to the last letter.";

const OTHER_RUN =
  "Not saved: Blademark was started again since this window was opened. Open the whole address it printed.";

function same(given: string | null, secret: string): boolean {
  const [a, b] = [Buffer.from(given ?? ""), Buffer.from(secret)];
  return a.length === b.length && timingSafeEqual(a, b);
}

function cookieOf(request: Request, name: string): string | null {
  const pairs = (request.headers.get("cookie") ?? "").split(";").map((pair) => pair.trim());
  const found = pairs.find((pair) => pair.startsWith(`${name}=`));
  return found ? found.slice(name.length + 1) : null;
}
