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
