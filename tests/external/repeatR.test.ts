import { spawnSync } from "node:child_process";
import { mkdirSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect } from "vitest";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import { itWhere } from "../helpers/itWhere.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";
import { studyOfKind } from "../helpers/studyKinds.ts";

// R (Debian's r-base-core) redoes what the tables say with its own t.test, pt and qt.
// R writes spaces of a path otherwise.
const folder = join(sharedFolder(), "my tables");

function repeated(kind: string, change: (name: string, content: string) => string = (_, c) => c) {
  const { whole, readingOf } = studyOfKind(kind);
  mkdirSync(folder, { recursive: true });
  for (const left of readdirSync(folder)) rmSync(join(folder, left));
  for (const { name, content } of tableFiles(whole, "names", readingOf))
    writeFileSync(join(folder, name), change(name, content));
  const ran = spawnSync("Rscript", [join(folder, "repeat.R")], { encoding: "utf8" });
  return { status: ran.status, said: `${ran.stdout}${ran.stderr}` };
}

const itWithR = itWhere(
  spawnSync("Rscript", ["--version"]).status === 0,
  "no R here; Debian: apt-get install r-base-core",
);

describe("repeat.R", () => {
  for (const kind of [
    "demo",
    "missing cells",
    "one skater",
    "two skaters",
    "four techniques",
    "twenty skaters",
  ])
    itWithR(`redoes the numbers of a study: ${kind}`, () => {
      const { status, said } = repeated(kind);
      expect(said).toMatch(/numbers redone: \d{3,} /);
      expect(status, said).toBe(0);
    });

  const swapped = (table: string, from: RegExp, to: string) => {
    const { status, said } = repeated("three skaters", (name, content) =>
      name === table ? content.replace(from, to) : content,
    );
    return { status, said };
  };
  for (const [what, table, from, to] of [
    ["a time", "trials.csv", /,4\.(\d)/, ",5.$1"],
    ["a verdict", "differences.csv", /,faster,|,can't tell,/, ",slower,"],
    ["what may be said", "comparisons.csv", /,(these|open|settled),/, ",depends,"],
    ["a typical error", "repeatability.csv", /(time_s,[^,]*,\d+,\d+,0\.0)\d/, "$19"],
  ] as const)
    itWithR(`tells ${what} that was changed`, () => {
      const { status, said } = swapped(table, from, to);
      expect(status, said).toBe(1);
      expect(said).toContain("differs:");
    });
});
