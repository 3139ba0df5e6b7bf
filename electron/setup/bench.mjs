// npm run bench: timings as tables of ratios measured in one run. Never part of npm test.
import { findBrowser } from "./browser.mjs";
import { ensureBuilt } from "./build.mjs";
import { bundled } from "./bundled.mjs";
import { ensureFfmpeg } from "./ffmpeg.mjs";
import { ensureInstalled } from "./install.mjs";
import { root } from "./run.mjs";

ensureInstalled();
ensureFfmpeg();
await ensureBuilt();
const browser = findBrowser();
if (browser) process.env.CHROMIUM_PATH = browser;
const { main } = await bundled("tests/bench/bench.ts", "bench");
await main(root, process.argv.slice(2));
