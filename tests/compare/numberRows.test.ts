import { expect, it } from "vitest";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { numberRows } from "../../src/compare/numberRows.ts";
import { pairedRows } from "../helpers/pairedRows.ts";

const signFlipOf = (differences: readonly number[]) => {
  const c = compareTechniques({
    rows: pairedRows(
      differences.map((_, i) => [5 + i / 16]),
      differences.map((d, i) => [5 + i / 16 + d]),
    ),
    ...{ a: "a", b: "b", quantity: "time_s", worthwhile: null },
  });
  return numberRows(c).find((row) => row.label.startsWith("Sign-flip"))?.text;
};

// Two of 2^n patterns: 2 / 2^20 = 1.907e-6, 2 / 2^8 = 0.0078125 (Fisher 1935, section 21).
it("says the smallest p of the sign-flip as small as it is", () => {
  const twenty = Array.from({ length: 20 }, (_, i) => (i === 3 || i === 7 ? 0.125 : -0.125));
  expect(signFlipOf(twenty)).toMatch(/\(smallest 20 skaters can give: 0\.0000019\)$/);
  expect(signFlipOf(twenty.map(() => -0.125))).toMatch(/^p < 0\.0001, the smallest 20 skaters can give$/);
  expect(signFlipOf([...twenty, ...twenty.slice(0, 4)])).toMatch(/can give: less than 0\.000001\)$/);
  expect(signFlipOf(twenty.slice(0, 8))).toMatch(/\(smallest 8 skaters can give: 0\.0078\)$/);
});

// Three skaters alike by chance: -0.16, -0.157, -0.153, each technique twice, 0.04 s apart: typical error 0.0283 s with
// 6 degrees of freedom. t over skaters gives 4.303 * 0.00351 / sqrt(3) = 0.0087 s; repeats allow
// 2.447 * 0.0283 * sqrt(3 * (1/2 + 1/2)) / 3 = 0.0400 s (t quantiles: NIST/SEMATECH e-Handbook 1.3.6.7.2).
it("shows no mean narrower than the repeats allow", () => {
  const c = compareTechniques({
    rows: pairedRows(
      [5, 5.1, 5.2].map((x) => [x - 0.02, x + 0.02]),
      [4.84, 4.943, 5.047].map((x) => [x - 0.02, x + 0.02]),
    ),
    ...{ a: "a", b: "b", quantity: "time_s", worthwhile: null },
  });
  const mean = numberRows(c).find((row) => row.label.startsWith("Mean difference"));
  expect(mean?.text.replaceAll("\u00a0", " ")).toMatch(
    /^−0\.157 ± 0\.040 s \(−0\.197 to −0\.117 s\) faster$/,
  );
  expect(mean?.meaning.replaceAll("\u00a0", " ")).toContain("(t over skaters: −0.1567 ± 0.0087 s) is chance");
});
