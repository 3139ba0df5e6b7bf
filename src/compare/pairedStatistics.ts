import { mean } from "../statistics/mean.ts";
import { effectSizes } from "./effectSize.ts";
import { pairedT } from "./pairedT.ts";
import { MOST_SKATERS, signFlipP, smallestSignFlipP } from "./signFlip.ts";
import type { Comparison } from "./types.ts";
import { hodgesLehmann, signedRank } from "./wilcoxon.ts";

type Statistics = Pick<
  Comparison,
  | "n"
  | "meanDifference"
  | "sd"
  | "range"
  | "t"
  | "df"
  | "pT"
  | "pSignFlip"
  | "smallestPSignFlip"
  | "signedRank"
  | "hodgesLehmann"
  | "dZ"
  | "gZ"
>;

const NOBODY = "No skater has a usable value with both techniques.";
const ONE =
  "One skater has no scatter between skaters; two are needed, and six to show anything by sign-flip.";

/**
 * The paired comparison of one pair of means a skater; differences are b minus a.
 * What cannot be computed says why instead of a number: one skater, or skaters whose differences are all alike.
 */
export function pairedStatistics(pairs: readonly { readonly a: number; readonly b: number }[]): Statistics {
  const differences = pairs.map(({ a, b }) => b - a);
  const n = differences.length;
  const none = (why: string) => ({ value: null, why }) as const;
  if (n === 0) {
    const no = none(NOBODY);
    return {
      n,
      meanDifference: no,
      sd: no,
      range: no,
      t: no,
      df: no,
      pT: no,
      pSignFlip: no,
      smallestPSignFlip: no,
      signedRank: no,
      hodgesLehmann: no,
      dZ: no,
      gZ: no,
    };
  }
  const value = mean(differences);
  const range = { value: [Math.min(...differences), Math.max(...differences)] as const };
  const flips = {
    pSignFlip:
      n <= MOST_SKATERS
        ? { value: signFlipP(differences) }
        : none(
            `With more than ${MOST_SKATERS} skaters the sign-flip is not enumerated; the t test says the same there.`,
          ),
    smallestPSignFlip: { value: smallestSignFlipP(n) },
    signedRank: signedRank(differences),
    hodgesLehmann: hodgesLehmann(differences),
  };
  if (n === 1) {
    const no = none(ONE);
    return {
      n,
      meanDifference: { value, ci95: no },
      sd: no,
      range,
      t: no,
      df: no,
      pT: no,
      ...flips,
      dZ: no,
      gZ: no,
    };
  }
  // Of differences that are all alike in decimals binary rounding leaves a tiny SD; t would be huge and mean nothing.
  const size = Math.max(...pairs.map(({ a, b }) => Math.max(Math.abs(a), Math.abs(b))));
  const test = pairedT(differences, size);
  if (!test) {
    const no = none(
      "All skaters have exactly the same difference, so there is no scatter to test against. Time to more digits.",
    );
    return {
      n,
      meanDifference: { value, ci95: no },
      sd: { value: 0 },
      range,
      t: no,
      df: { value: n - 1 },
      pT: no,
      ...flips,
      dZ: no,
      gZ: no,
    };
  }
  return {
    n,
    meanDifference: { value, ci95: test.ci95 },
    sd: { value: test.sd },
    range,
    t: { value: test.t },
    df: { value: test.df },
    pT: { value: test.p },
    ...flips,
    ...effectSizes(test.t, n),
  };
}
