import { csvParse } from "d3-dsv";
import { expect, it } from "vitest";
import { compareJson } from "../../src/compare/compareJson.ts";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import { madeUpStudy } from "../helpers/madeUpStudy.ts";
import { pairedRows } from "../helpers/pairedRows.ts";

/** 0.30000000000000004 and 8.9e-16 are what binary makes of decimal times; a double holds some 16 digits. */
function noisy(text: string): boolean {
  const digits = text
    .replace(/e.*/i, "")
    .replace(/^-?0*\.?0*/, "")
    .replace(".", "");
  return digits.length > 12 || (text !== "0" && Math.abs(Number(text)) < 1e-12);
}

it("writes no binary noise into the tables of differences", () => {
  const found: string[] = [];
  for (let seed = 0; seed < 25; seed++) {
    const { whole, readingOf } = madeUpStudy(seed);
    const files = tableFiles(whole, "names", readingOf).filter((f) =>
      /^(differences|comparisons)/.test(f.name),
    );
    expect(files).toHaveLength(2);
    for (const { name, content } of files)
      for (const row of csvParse(content))
        for (const [column, cell] of Object.entries(row))
          if (
            !column.startsWith("p_") &&
            column !== "smallest_possible_p_sign_flip" &&
            cell &&
            Number.isFinite(Number(cell)) &&
            noisy(cell)
          )
            found.push(`${name} ${column} ${cell}`);
  }
  expect(found.join("; ")).toBe("");
});

// 4.7 + 4.9 + 5.3 and 4.6 + 5.0 + 5.3 differ by nothing; in binary by 2.96e-16.
it("writes a mean difference of nothing as 0", () => {
  const rows = pairedRows([[4.7, 4.9, 5.3]], [[4.6, 5.0, 5.3]]);
  const json = compareJson(compareTechniques({ rows, a: "a", b: "b", quantity: "time_s", worthwhile: null }));
  expect(json.pairs[0]!.difference).toBe(0);
  expect(json.mean_difference).toMatchObject({ value: 0 });
});
