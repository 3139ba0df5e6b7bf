import { type Browser, chromium } from "playwright";
import { afterAll } from "vitest";
import { PATIENCE_MS } from "./measureWindow.ts";

export type TestBrowser = Pick<Browser, "newContext" | "newPage">;

const ARGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/**
 * What no test looks at and each window pays for: the browser's own pages under its address line, which are drawn anew with
 * each page that is opened (two processor seconds), and a process kept ready for a page that never comes.
 */
const UNSEEN = ["WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "SpareRendererForSitePerProcess"];

/** Playwright's own list, which Chromium forgets for ours: calls home, and what comes between a driver and its page. */
const OFF = [
  "AimEnabled",
  "AvoidCorsURLLoaderRestartOnRedirect",
  "AvoidUnnecessaryBeforeUnloadCheckSync",
  "DestroyProfileOnBrowserClose",
  "HttpsFirstBalancedModeAutoEnable",
  "HttpsUpgrades",
  "LensOverlay",
  "MediaRouter",
  "NetworkTimeServiceQuerying",
  "OptimizationHints",
  "PaintHolding",
  "PreconnectToSearch",
  "TcpPortRandomizationWin",
  "ThirdPartyStoragePartitioning",
];

let running: Promise<Browser> | undefined;

/** Started for the first file of a worker that asks for it, and ended with the worker. */
function started(): Promise<Browser> {
  running ??= chromium.launch({
    executablePath: process.env.CHROMIUM_PATH || "/usr/bin/chromium-headless-shell",
    args: [...ARGS, `--disable-features=${[...OFF, ...UNSEEN].join()}`],
  });
  return running;
}

/**
 * A real browser without anything that calls home, whose pages are waited for patiently; called for beside a file's imports.
 * Files that run in one process share it. What a file opened is closed after its last test.
 */
export function testBrowser(): TestBrowser {
  afterAll(async () => {
    const contexts = (await running)?.contexts() ?? [];
    await Promise.all(contexts.map((context) => context.close()));
  });
  return {
    async newContext(options) {
      const context = await (await started()).newContext(options);
      context.setDefaultTimeout(PATIENCE_MS);
      return context;
    },
    async newPage(options) {
      const page = await (await started()).newPage(options);
      page.context().setDefaultTimeout(PATIENCE_MS);
      return page;
    },
  };
}
