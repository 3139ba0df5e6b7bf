// The browser the tests drive: CHROMIUM_PATH, the system's Chromium or Chrome, Debian's package, or Playwright's own download.
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { canInstallFromDebian, installFromDebian } from "./ffmpeg.mjs";
import { root, runToEnd, say, stop } from "./run.mjs";

const known = [
  // Chromium without the browser's own windows, which its own headless mode draws unseen: half the processor time a page.
  "/usr/bin/chromium-headless-shell",
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
];

/** @returns {string | undefined} path of the browser, where one is there */
export function findBrowser() {
  const chosen = process.env.CHROMIUM_PATH;
  if (chosen)
    return existsSync(chosen) ? chosen : stop(`CHROMIUM_PATH is ${chosen}, but there is no such file.`);
  return known.find((path) => existsSync(path)) ?? playwrights();
}

function playwrights() {
  try {
    const path = createRequire(import.meta.url)("playwright").chromium.executablePath();
    return existsSync(path) ? path : undefined;
  } catch {
    return undefined;
  }
}

/** @returns {string} path of the browser */
export function ensureBrowser() {
  const found = findBrowser();
  if (found) return found;
  if (canInstallFromDebian()) {
    say("Installing Chromium (Debian's package) for the browser tests ...");
    if (!installFromDebian("chromium-headless-shell")) installFromDebian("chromium");
  } else {
    say("Fetching a browser for the tests ...");
    runToEnd(process.execPath, [join(root, "node_modules", "playwright", "cli.js"), "install", "chromium"]);
  }
  return (
    findBrowser() ??
    stop(
      "The browser tests need Chromium or Chrome, and none could be found or fetched. Install one, or set CHROMIUM_PATH to its program.",
    )
  );
}
