import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { homedir, tmpdir } from "node:os";
import { join } from "node:path";
import type { Server } from "./serve.ts";

/**
 * Opens a server's window in the system's browser. What a program is started with is seen by every user of the machine,
 * so the browser is given the name of a page that only this person can read; the page leads to an address whose key opens
 * one window and no second. It is taken away when that has been used, and after a while in any case. Where no browser
 * opens nothing happens: the address that was printed opens the window too.
 *
 * @returns takes the page away
 */
export async function openBrowser(
  server: Pick<Server, "pass">,
  start = startBrowser,
): Promise<() => Promise<void>> {
  // Others can neither list the folder nor read what is in it (mkdtemp: 0700).
  const folder = await mkdtemp(join(placeForBrowsers(), "blademark-open-"));
  const takeAway = () => rm(folder, { recursive: true, force: true });
  const page = join(folder, "open.html");
  const address = server.pass(() => void takeAway());
  await writeFile(page, pageTo(address), { mode: 0o600, flag: "wx" });
  start(page);
  return takeAway;
}

/** Browsers that come as a snap read neither the system's folder for temporary files nor what begins with a dot. */
function placeForBrowsers(): string {
  return process.platform === "linux" && existsSync("/snap/bin") ? homedir() : tmpdir();
}

function pageTo(address: string): string {
  return `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="referrer" content="no-referrer"><meta http-equiv="refresh" content="0;url=${address}"><title>Blademark</title><p><a href="${address}">Open Blademark</a></p></html>\n`;
}

function startBrowser(page: string): void {
  const [program, ...args] =
    process.platform === "darwin"
      ? ["open", page]
      : process.platform === "win32"
        ? ["cmd", "/c", "start", "", page]
        : ["xdg-open", page];
  const child = spawn(program as string, args, { stdio: "ignore", detached: true });
  child.on("error", () => undefined);
  child.unref();
}
