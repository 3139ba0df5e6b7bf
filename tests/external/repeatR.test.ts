import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect } from "vitest";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import { itWhere } from "../helpers/itWhere.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";
import { studyOfKind } from "../helpers/studyKinds.ts";

// R (Debian's r-base-core) redoes what the tables say with its own t.test, pt and qt.
const folder = sharedFolder();

function repeated(kind: string, change: (name: string, content: string) => string = (_, c) => c) {
  const { whole, readingOf } = studyOfKind(kind);
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
  for (const kind of ["demo", "missing cells", "two skaters"])
    itWithR(`redoes the numbers of a study: ${kind}`, () => {
      const { status, said } = repeated(kind);
      expect(said).toMatch(/numbers redone: \d{2,} /);
      expect(status, said).toBe(0);
    });

  itWithR("tells a table that was changed", () => {
    const { status, said } = repeated("clear", (name, content) =>
      name === "trials.csv" ? content.replace(/,4\.(\d)/, (_, k) => `,4.${(Number(k) + 1) % 10}`) : content,
    );
    expect(status).toBe(1);
    expect(said).toContain("differs:");
  });
});
