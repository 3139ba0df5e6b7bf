import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Browser, chromium, type Page } from "playwright";
import { CHROMIUM, CHROMIUM_ARGS } from "./benchWindow.ts";

/** A real browser that works while nobody is connected to it. */
export interface UnwatchedBrowser {
  /** Connects, does something with the only window, and lets go; the window stays as it is. */
  look<T>(at: (page: Page, browser: Browser) => Promise<T>): Promise<T>;
  /** The window's title, asked for without connecting. */
  title(): Promise<string>;
  close(): Promise<void>;
}

/**
 * Starts it. Whoever drives a window is told of all it fetches, and for that the window keeps the answers, up to 100 MB:
 * what a window holds by itself can be seen only in one that is let alone.
 */
export async function unwatchedBrowser(): Promise<UnwatchedBrowser> {
  const profile = mkdtempSync(join(tmpdir(), "blademark-bench-browser-"));
  const child = spawn(
    CHROMIUM,
    [
      ...CHROMIUM_ARGS,
      ...["--headless=new", "--window-size=1440,900", `--user-data-dir=${profile}`],
      ...["--remote-debugging-port=0", "about:blank"],
    ],
    { stdio: ["ignore", "ignore", "pipe"] },
  );
  const ended = once(child, "close");
  const address = await printed(child);
  return {
    async look(at) {
      const browser = await chromium.connectOverCDP(address);
      try {
        const page = browser.contexts()[0]?.pages()[0];
        if (!page) throw new Error("the browser has no window");
        return await at(page, browser);
      } finally {
        await browser.close();
      }
    },
    async title() {
      const answer = await fetch(`http://${new URL(address).host}/json/list`);
      const open = (await answer.json()) as { readonly type: string; readonly title: string }[];
      return open.find((o) => o.type === "page")?.title ?? "";
    },
    async close() {
      child.kill("SIGTERM");
      await ended;
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/** Where it can be spoken to, as it prints it when it has started. */
async function printed(child: ChildProcess): Promise<string> {
  let said = "";
  for await (const piece of child.stderr ?? []) {
    said += piece;
    const address = /^DevTools listening on (ws:\S+)/m.exec(said)?.[1];
    if (address) {
      child.stderr?.resume();
      return address;
    }
  }
  throw new Error(`the browser did not start: ${said.slice(-2000)}`);
}
