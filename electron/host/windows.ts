import { randomUUID } from "node:crypto";
import { setTimeout as wait } from "node:timers/promises";
import { MeasureError } from "../../src/errors.ts";
import type { WindowNews } from "../../src/study/exchange.ts";
import type { Vault } from "../vault/Vault.ts";
import { nothing, reply } from "./replies.ts";

/** A window that is being reloaded or closed takes a moment to be gone. */
const LEAVING_MS = 500;
/** The writing window may be on its way back for so long: it is being reloaded. */
const RETURNING_MS = 2000;
/** The longest a window may take to save the rest when another one takes over. */
const HAND_OVER_MS = 1500;

const OTHER_WINDOW = "another window";

/** A door that others can reach is at an address, and windows may have been at others before. */
export interface WindowAddresses {
  /** What a window that opens at that address should know of the other ones. */
  notices(here: URL): readonly string[];
  /** A window is there: it may leave something in the browser. */
  windowAt(here: URL): Promise<void>;
  /** No window is there any more, and nothing was left. */
  leftNothing(here: URL): Promise<void>;
}

/** What a window gives as its own name, by header or query. */
export function windowOf(request: Request): string | null {
  const id = request.headers.get("x-blademark-window") ?? new URL(request.url).searchParams.get("window");
  return id !== null && /^[\w-]{8,64}$/.test(id) ? id : null;
}

/**
 * The windows that look at this study. One of them writes; the others look on, are told so, and may take over. Each
 * keeps one answer open, so that the host knows at once when it has gone.
 */
export class Windows {
  /** Which start of the program this is. */
  readonly run = randomUUID();
  readonly #vault: Vault;
  readonly #oneWindow: boolean;
  readonly #addresses: WindowAddresses | undefined;
  readonly #open = new Map<string, (news: WindowNews) => void>();
  /** Where each window that is open is. */
  readonly #where = new Map<string, string>();
  #writer: string | null = null;

  /** @param oneWindow the desktop app's: whoever comes writes */
  constructor(vault: Vault, oneWindow = false, addresses?: WindowAddresses) {
    this.#vault = vault;
    this.#oneWindow = oneWindow;
    this.#addresses = addresses;
  }

  /** An answer that stays open as long as the window does, one line of JSON for each piece of news. */
  async join(request: Request): Promise<Response> {
    const id = windowOf(request);
    if (id === null) throw namelessWindow();
    const here = new URL(request.url);
    this.#where.set(id, here.host);
    await this.#addresses?.windowAt(here);
    // A window that was loaded anew is the same one.
    if (this.#oneWindow) this.#writer = id;
    if (this.#writer !== null && this.#writer !== id) await until(() => this.#writer === null, LEAVING_MS);
    const line = new TextEncoder();
    let tell: (news: WindowNews) => void = () => undefined;
    const body = new ReadableStream<Uint8Array>({
      start: (controller) => {
        tell = (news) => controller.enqueue(line.encode(`${JSON.stringify(news)}\n`));
        this.#open.set(id, tell);
        if (this.#writer === null) this.#writer = id;
        tell({ kind: this.#writer === id ? "writing" : "looking-on" });
      },
      cancel: () => this.#leave(id, tell),
    });
    return reply(body, 200, { "content-type": "application/x-ndjson" });
  }

  /** Who else writes, from where a window stands; null = nobody. */
  otherWriter(request: Request): string | null {
    return this.#writer !== null && this.#writer !== windowOf(request) ? OTHER_WINDOW : null;
  }

  /** False for a window of an earlier run of the program, or from before the study was shut for a while. */
  ofThisRun(request: Request): boolean {
    const opened = request.headers.get("x-blademark-run");
    return opened === null || opened === this.run;
  }

  /** @throws {MeasureError} `restarted`, `other-window` */
  mustWrite(request: Request): void {
    // What such a window holds may be older than what was done since.
    if (!this.ofThisRun(request))
      throw new MeasureError(
        "restarted",
        "the window was opened in an earlier run of the program",
        "Not saved: Blademark was started again since this window was opened. Reload the window; what is not saved is offered there.",
      );
    if (this.#writer === null || this.#writer === windowOf(request)) return;
    throw new MeasureError(
      "other-window",
      "another window of this study writes",
      "Not saved: the study is open in another window, which has it for writing. Close that one, or take over here.",
    );
  }

  /** This window writes from now on, also when another program had the study. */
  async takeOver(request: Request): Promise<Response> {
    const id = windowOf(request);
    if (id === null || !this.#open.has(id)) throw namelessWindow();
    if (this.#writer !== id)
      await this.handOver("Another window has taken this study over. It is open here for reading only.");
    await this.#vault.takeOver();
    this.#writer = id;
    return nothing();
  }

  /** The window has saved everything and lets go. */
  letGo(request: Request): Response {
    if (this.#writer === windowOf(request)) this.#writer = null;
    return nothing();
  }

  /** The window goes, and the browser keeps nothing of what was done at its address. */
  async leftNothing(request: Request): Promise<Response> {
    const here = new URL(request.url);
    const id = windowOf(request);
    if (![...this.#where].some(([other, host]) => other !== id && host === here.host))
      await this.#addresses?.leftNothing(here);
    return nothing();
  }

  /** The writing window saves what it still has and lets go; one that does not answer loses the right to write. */
  async handOver(text: string): Promise<void> {
    const before = this.#writer;
    if (before === null) return;
    this.#open.get(before)?.({ kind: "hand-over" });
    await until(() => this.#writer !== before, HAND_OVER_MS);
    if (this.#writer === before) this.#writer = null;
    this.#open.get(before)?.({ kind: "reading-only", text });
  }

  #leave(id: string, tell: (news: WindowNews) => void): void {
    if (this.#open.get(id) !== tell) return;
    this.#open.delete(id);
    this.#where.delete(id);
    if (this.#writer !== id) return;
    this.#writer = null;
    setTimeout(() => this.#writeOn(), RETURNING_MS).unref();
  }

  /** Nobody writes any more: the window that has looked on longest may. It may have come while the other one went. */
  #writeOn(): void {
    const [next] = this.#open;
    if (this.#writer !== null || !next) return;
    const [id, tell] = next;
    this.#writer = id;
    tell({ kind: "writing" });
  }
}

async function until(is: () => boolean, ms: number): Promise<void> {
  for (const end = performance.now() + ms; !is() && performance.now() < end; ) await wait(20);
}

function namelessWindow(): MeasureError {
  return new MeasureError(
    "no-window",
    "?window= is missing",
    "The window did not say which one it is. Reload it.",
  );
}
