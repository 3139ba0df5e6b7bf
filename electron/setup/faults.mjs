// npm run faults: every fault in all its cases (minutes), then a table of what came of them. npm test runs a few of each.
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { ensureBrowser } from "./browser.mjs";
import { ensureBuilt } from "./build.mjs";
import { ensureFfmpeg } from "./ffmpeg.mjs";
import { ensureInstalled } from "./install.mjs";
import { root, runToEnd } from "./run.mjs";

ensureInstalled();
ensureFfmpeg();
const CHROMIUM_PATH = ensureBrowser();
await ensureBuilt();
const rows = join(root, "test-output", "faults.jsonl");
mkdirSync(join(root, "test-output"), { recursive: true });
rmSync(rows, { force: true });
const media = ["plantedLinks", "clipMetadata", "badClips", "sampleClips"].map(
  (name) => `tests/media/${name}.test.ts`,
);
const windows = ["keysAlive", "uncovered", "suggested", "oneTripod"].map(
  (name) => `tests/browser/${name}.test.ts`,
);
const files = ["tests/faults", ...media, ...windows, "tests/external/repeatRandomR.test.ts"];
const vitest = [join(root, "node_modules/vitest/vitest.mjs"), "run", ...files];
const passed = runToEnd(process.execPath, vitest, { env: { BLADEMARK_FAULTS: "all", CHROMIUM_PATH } });

/** @type {{ fault: string, cases: number, outcomes: Record<string, number> }[]} */
const table = readFileSync(rows, "utf8")
  .trim()
  .split("\n")
  .map((line) => JSON.parse(line));
const wide = Math.max(...table.map((r) => r.fault.length));
for (const { fault, cases, outcomes } of table) {
  const counts = Object.entries(outcomes).map(([what, n]) => `${n} ${what}`);
  process.stdout.write(`${fault.padEnd(wide)}  ${String(cases).padStart(5)}  ${counts.join("; ")}\n`);
}
process.exit(passed ? 0 : 1);
