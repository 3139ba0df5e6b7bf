// npm test: everything. `npm test -- tests/compare` runs only the tests whose path contains that text.
import { mkdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { ensureBrowser } from "./browser.mjs";
import { ensureBuilt } from "./build.mjs";
import { check } from "./check.mjs";
import { ensureFfmpeg } from "./ffmpeg.mjs";
import { ensureInstalled } from "./install.mjs";
import { root, runToEnd, say } from "./run.mjs";

const only = process.argv.slice(2);

ensureInstalled();
ensureFfmpeg();
const browser = ensureBrowser();
const checked = only.length > 0 || check();
await ensureBuilt();

mkdirSync(join(root, "test-output"), { recursive: true });
const results = join(root, "test-output", "results.json");
const vitest = [join(root, "node_modules/vitest/vitest.mjs"), "run", "--reporter=default", "--reporter=json"];
const passed = runToEnd(process.execPath, [...vitest, `--outputFile.json=${results}`, ...only], {
  env: { CHROMIUM_PATH: browser },
});

const { numPassedTests, numFailedTests } = JSON.parse(readFileSync(results, "utf8"));
if (!checked) say("The check (format, lint, types) failed; see above.");
process.stdout.write(`${numPassedTests} passed, ${numFailedTests} failed\n`);
process.exit(passed && checked && numPassedTests > 0 ? 0 : 1);
