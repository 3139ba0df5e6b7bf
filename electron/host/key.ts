import { randomBytes, timingSafeEqual } from "node:crypto";
import { refusal, reply, WINDOW_POLICY } from "./replies.ts";

/**
 * The secret of one run of the browser's door. Who has the printed address has it; another person or program on this
 * machine, who can reach the port as well, has not.
 */
export interface Key {
  readonly secret: string;
  /** Cookies are shared by all ports of a machine, so its name carries the port. */
  readonly cookie: string;
}

export function newKey(port: number): Key {
  return { secret: randomBytes(24).toString("base64url"), cookie: `blademark-${port}` };
}

const QUERY = "key";

/** The address that opens the window. */
export function keyedAddress(origin: string, { secret }: Key): string {
  return `${origin}/?${QUERY}=${secret}`;
}

/**
 * The first visit carries the key in its address: it gets the key as a cookie that no script can read and no other
 * site can make the browser send, and is sent on to the address without it. All else needs the cookie.
 *
 * @returns the refusal or the redirection, or null when the request may pass
 */
export function askForKey(request: Request, key: Key): Response | null {
  const url = new URL(request.url);
  const given = url.searchParams.get(QUERY);
  if (given !== null && request.method === "GET" && url.pathname === "/" && isKey(given, key)) {
    return reply(null, 303, {
      location: "/",
      "set-cookie": `${key.cookie}=${key.secret}; HttpOnly; SameSite=Strict; Path=/`,
    });
  }
  if (isKey(cookieOf(request, key.cookie), key)) return null;
  if (url.pathname.startsWith("/api")) return refusal(401, "no-key", NO_KEY);
  return reply(
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>Blademark</title><p>${NO_KEY}</p></html>`,
    401,
    {
      "content-type": "text/html; charset=utf-8",
      "content-security-policy": WINDOW_POLICY,
    },
  );
}

const NO_KEY =
  "This window has no key to the study. Blademark makes a new one each time it starts: open the whole address it printed, from http to the last letter.";

function isKey(given: string | null, { secret }: Key): boolean {
  const [a, b] = [Buffer.from(given ?? ""), Buffer.from(secret)];
  return a.length === b.length && timingSafeEqual(a, b);
}

function cookieOf(request: Request, name: string): string | null {
  const pairs = (request.headers.get("cookie") ?? "").split(";").map((pair) => pair.trim());
  const found = pairs.find((pair) => pair.startsWith(`${name}=`));
  return found ? found.slice(name.length + 1) : null;
}
