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
export function windowsOf(vault: Vault, oneWindow = false, addresses?: WindowAddresses) {
  const open = new Map<string, (news: WindowNews) => void>();
  /** Where each window that is open is. */
  const where = new Map<string, string>();
  let writer: string | null = null;
  const run = randomUUID();
  async function until(is: () => boolean, ms: number): Promise<void> {
    for (const end = performance.now() + ms; !is() && performance.now() < end; ) await wait(20);
  }

  function leave(id: string, tell: (news: WindowNews) => void): void {
    if (open.get(id) !== tell) return;
    open.delete(id);
    where.delete(id);
    if (writer !== id) return;
    writer = null;
    setTimeout(writeOn, RETURNING_MS).unref();
  }

  /** Nobody writes any more: the window that has looked on longest may. It may have come while the other one went. */
  function writeOn(): void {
    const [next] = open;
    if (writer !== null || !next) return;
    const [id, tell] = next;
    writer = id;
    tell({ kind: "writing" });
  }

  /** The writing window saves what it still has and lets go; one that does not answer loses the right to write. */
  async function handOver(text: string): Promise<void> {
    const before = writer;
    if (before === null) return;
    open.get(before)?.({ kind: "hand-over" });
    await until(() => writer !== before, HAND_OVER_MS);
    if (writer === before) writer = null;
    open.get(before)?.({ kind: "reading-only", text });
  }

  return {
    /** Which start of the program this is. */
    run,

    /** An answer that stays open as long as the window does, one line of JSON for each piece of news. */
    async join(request: Request): Promise<Response> {
      const id = windowOf(request);
      if (id === null) throw namelessWindow();
      const here = new URL(request.url);
      where.set(id, here.host);
      await addresses?.windowAt(here);
      // A window that was loaded anew is the same one.
      if (oneWindow) writer = id;
      if (writer !== null && writer !== id) await until(() => writer === null, LEAVING_MS);
      const line = new TextEncoder();
      let tell: (news: WindowNews) => void = () => undefined;
      const body = new ReadableStream<Uint8Array>({
        start(controller) {
          tell = (news) => controller.enqueue(line.encode(`${JSON.stringify(news)}\n`));
          open.set(id, tell);
          if (writer === null) writer = id;
          tell({ kind: writer === id ? "writing" : "looking-on" });
        },
        cancel: () => leave(id, tell),
      });
      return reply(body, 200, { "content-type": "application/x-ndjson" });
    },

    /** Who else writes, from where a window stands; null = nobody. */
    otherWriter(request: Request): string | null {
      return writer !== null && writer !== windowOf(request) ? OTHER_WINDOW : null;
    },

    /** @throws {MeasureError} `restarted`, `other-window` */
    mustWrite(request: Request): void {
      const opened = request.headers.get("x-blademark-run");
      // What such a window holds may be older than what was done since.
      if (opened !== null && opened !== run)
        throw new MeasureError(
          "restarted",
          "the window was opened in an earlier run of the program",
          "Not saved: Blademark was started again since this window was opened. Reload the window; what is not saved is offered there.",
        );
      if (writer === null || writer === windowOf(request)) return;
      throw new MeasureError(
        "other-window",
        "another window of this study writes",
        "Not saved: the study is open in another window, which has it for writing. Close that one, or take over here.",
      );
    },

    /** This window writes from now on, also when another program had the study. */
    async takeOver(request: Request): Promise<Response> {
      const id = windowOf(request);
      if (id === null || !open.has(id)) throw namelessWindow();
      if (writer !== id)
        await handOver("Another window has taken this study over. It is open here for reading only.");
      await vault.takeOver();
      writer = id;
      return nothing();
    },

    /** The window has saved everything and lets go. */
    letGo(request: Request): Response {
      if (writer === windowOf(request)) writer = null;
      return nothing();
    },

    /** The window goes, and the browser keeps nothing of what was done at its address. */
    async leftNothing(request: Request): Promise<Response> {
      const here = new URL(request.url);
      const id = windowOf(request);
      if (![...where].some(([other, host]) => other !== id && host === here.host))
        await addresses?.leftNothing(here);
      return nothing();
    },

    handOver,
  };
}

function namelessWindow(): MeasureError {
  return new MeasureError(
    "no-window",
    "?window= is missing",
    "The window did not say which one it is. Reload it.",
  );
}
