import { describe, expect, it } from "vitest";
import { compareJson } from "../../src/compare/compareJson.ts";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { pairedRows } from "../helpers/pairedRows.ts";
import { compareTimes } from "./compareTimes.ts";

describe("compareJson", () => {
  const keys = [
    "format",
    "version",
    "a",
    "b",
    "quantity",
    "pairs",
    "n",
    "mean_difference",
    "sd_of_differences",
    "range_of_differences",
    "t",
    "df",
    "p_t",
    "p_sign_flip",
    "smallest_possible_p_sign_flip",
    "d_z",
    "g_z",
    "typical_error_s",
    "mdc95_single_s",
    "smallest_worthwhile_s",
    "order_effect",
    "d_z_ci95",
    "g_z_ci95",
    "wilcoxon",
    "hodges_lehmann",
    "equivalence",
    "mixed_model",
    "mixed_model_with_order",
    "sentences",
    "warnings",
    "conclusion",
    "these_skaters",
    "skaters_in_general",
    "response",
    "order",
  ];

  it("has exactly the keys of the contracts, in a plain JSON form", () => {
    const json = compareJson(
      compareTimes(
        pairedRows(
          [
            [5.1, 5.1],
            [6, 6.1],
          ],
          [
            [4.8, 4.8],
            [5.9, 6],
          ],
        ),
      ),
    );
    expect(Object.keys(json)).toEqual(keys);
    expect(Object.keys(json.pairs[0]!)).toEqual(["skater", "a", "b", "difference", "n_a", "n_b", "verdict"]);
    expect(json.pairs[0]?.difference).toBe(-0.3); // not -0.2999999999999998
    expect(json.mean_difference).toEqual({ value: -0.2, ci95: [expect.any(Number), expect.any(Number)] });
    expect(JSON.parse(JSON.stringify(json))).toEqual(json);
  });

  it("says why instead of a number for nobody, for one skater, and without repeats", () => {
    const why = { value: null, why: expect.stringMatching(/\w+/) };
    const nobody = compareJson(compareTimes([]));
    expect(Object.keys(nobody)).toEqual(keys);
    for (const key of keys.slice(7, 28)) expect(nobody[key as "t"], key).toEqual(why);
    const one = compareJson(compareTimes(pairedRows([[5]], [[4.9]])));
    expect(one.mean_difference).toEqual({ value: -0.1, ci95: why });
    for (const key of [
      "sd_of_differences",
      "t",
      "df",
      "p_t",
      "d_z",
      "g_z",
      "typical_error_s",
      "smallest_worthwhile_s",
    ]) {
      expect(one[key as "t"], key).toEqual(why);
    }
    expect(one.p_sign_flip).toBe(1);
    const two = compareJson(compareTimes(pairedRows([[5], [6]], [[4.9], [5.7]])));
    expect(two.g_z).toEqual(why);
    expect(two.mdc95_single_s).toEqual(why);
    // A number that is not one becomes null in JSON: every null must be a value with its why.
    expect(JSON.stringify([nobody, one, two])).not.toMatch(/NaN|Infinity|[[,]null|:null(?!,"why")/);
  });

  it("names the unit of another quantity", () => {
    const rows = pairedRows([[0.98], [1.1]], [[1.31], [1.4]]);
    const json = compareJson(
      compareTechniques({ rows, a: "a", b: "b", quantity: "stride_width_m", worthwhile: null }),
    );
    expect(Object.keys(json)).toEqual(keys.map((key) => key.replace(/(error|single|worthwhile)_s$/, "$1_m")));
    expect(json.pairs[0]?.verdict).toBe("can't tell");
  });
});
