// npm test: everything. `npm test -- tests/compare` runs only the tests whose path contains that text.
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { ensureBrowser } from "./browser.mjs";
import { ensureBuilt } from "./build.mjs";
import { check } from "./check.mjs";
import { ensureFfmpeg } from "./ffmpeg.mjs";
import { ensureInstalled } from "./install.mjs";
import { root, runToEnd, say, stop } from "./run.mjs";

const only = process.argv.slice(2);

ensureInstalled();
// Core tests need nothing but Node: no program is looked for and nothing is built for them.
const needsMachine =
  only.length === 0 || chosenTests(only).some((file) => /^tests\/(media|browser)\//.test(file));
/** @type {Record<string, string>} */
const env = {};
if (needsMachine) {
  ensureFfmpeg();
  env.CHROMIUM_PATH = ensureBrowser();
}
const checked = only.length > 0 || check();
if (needsMachine) await ensureBuilt();

mkdirSync(join(root, "test-output"), { recursive: true });
const results = join(root, "test-output", "results.json");
const project = needsMachine ? [] : ["--project", "core"];
const vitest = [
  join(root, "node_modules/vitest/vitest.mjs"),
  "run",
  ...project,
  "--reporter=default",
  "--reporter=json",
];
rmSync(results, { force: true });
const passed = runToEnd(process.execPath, [...vitest, `--outputFile.json=${results}`, ...only], {
  env,
});

if (!existsSync(results)) stop("The tests were ended before they could say what came of them.");
const { numPassedTests, numFailedTests, testResults } = JSON.parse(readFileSync(results, "utf8"));
for (const { fullName } of leftOut(testResults)) say(`Not run: ${fullName}`);
if (!checked) say("The check (format, lint, types) failed; see above.");
process.stdout.write(`${numPassedTests} passed, ${numFailedTests} failed\n`);
process.exit(passed && checked && numPassedTests > 0 ? 0 : 1);

/**
 * Test files whose path contains one of the texts, as the runner will choose them.
 * @param {readonly string[]} texts
 */
function chosenTests(texts) {
  return readdirSync(join(root, "tests"), { recursive: true, encoding: "utf8" })
    .map((path) => `tests/${path.replaceAll("\\", "/")}`)
    .filter((path) => /\.test\.tsx?$/.test(path) && texts.some((text) => path.includes(text)));
}

/**
 * Tests that did not run; the reason stands in their names.
 * @param {readonly { assertionResults: readonly { fullName: string, status: string }[] }[]} files
 */
function leftOut(files) {
  return files
    .flatMap(({ assertionResults }) => assertionResults)
    .filter(({ status }) => status !== "passed" && status !== "failed");
}
