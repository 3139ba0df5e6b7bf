import { expect, it } from "vitest";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { verdictColour } from "../../src/report/figures/eachSkaterRows.ts";
import { pairedRows } from "../helpers/pairedRows.ts";

/** Three skaters whose repeats lie 0.01 apart: b is 0.5 less, 0.5 more and the same. */
function colours(quantity: "time_s" | "stride_width_m") {
  const a = [5, 5.2, 5.4].map((v) => [v, v + 0.01]);
  const b = a.map((own, i) => own.map((v) => v + [-0.5, 0.5, 0][i]!));
  return compareTechniques({ rows: pairedRows(a, b), a: "a", b: "b", quantity, worthwhile: null }).pairs.map(
    (p) => [p.verdict, verdictColour(p)],
  );
}

it("colours good and bad for the question, not the sign", () => {
  expect(colours("time_s")).toEqual([
    ["faster", "good"],
    ["slower", "bad"],
    ["can't tell", "quiet"],
  ]);
  expect(colours("stride_width_m")).toEqual([
    ["less", "ink"],
    ["more", "ink"],
    ["can't tell", "quiet"],
  ]);
});
