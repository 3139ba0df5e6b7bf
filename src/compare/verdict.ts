import type { CompareQuantity } from "../quantities/compared.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import type { OrWhy } from "../reading.ts";
import { t975, tQuantile } from "../statistics/distributions.ts";
import { leanOf } from "./clockMix.ts";
import { REPEATS_ALIKE } from "./meanOfThese.ts";
import { countWord, sizeText } from "./numbers.ts";
import type { OwnScatter, Scatters } from "./ownScatter.ts";
import { differenceVariance, meanVariance } from "./trialVariance.ts";
import type { Comparison, Pair, Verdict } from "./types.ts";

export interface VerdictRequest {
  readonly quantity: CompareQuantity;
  readonly scatter: OrWhy<OwnScatter>;
  readonly worth: Comparison["smallestWorthwhile"];
  /** Skaters who are judged: they share the 5 % of wrong verdicts. */
  readonly skaters: number;
  /** Mean places this skater skated b after a, and the common change from trial to trial. */
  readonly bLaterBy: number;
  readonly trend: Scatters["trend"];
  /** This skater, or everybody, skated one technique wholly before the other. */
  readonly oneSided: boolean;
  /** By how much clips and photocells may differ alike in all trials: standard uncertainty, seconds. */
  readonly offsetSd: number;
}

/** From so many places on a skater's own order can pass for a difference. */
const LATER = 0.5;
/** Degrees of freedom of something known: t is the normal's then. */
const MANY = 1e6;

/**
 * One skater's own difference against what a trial scatters and what is worth it.
 *
 * The interval is ± t x scatter x sqrt(1/nA + 1/nB) (each trial with its own scatter where clips time some), t at 1 - 0.025 / skaters, so that in 95 % of studies it holds for
 * every skater. A verdict is given only when all of it lies beyond the worthwhile band; without a band, beyond 0; and
 * only when it still does without the day's steady change. `oneSide` asks the same of 0 where a band leaves it open.
 *
 * @see Dunn (1961), J Am Stat Assoc 56, 52-64: shared critical values
 */
export function judgePair(
  means: Pick<Pair, "skater" | "a" | "b" | "nA" | "nB" | "trialsA" | "trialsB">,
  request: VerdictRequest,
): Pair {
  const { quantity, scatter, worth, skaters, trend, bLaterBy, oneSided } = request;
  const difference = means.b - means.a;
  const given = { ...means, difference, scatter };
  const open = { verdict: "can't tell", settles: "open", oneSide: false } as const;
  if (scatter.value === null) {
    const why = "without repeats nobody knows how much one trial scatters";
    return { ...given, u95: scatter, u95A: scatter, u95B: scatter, ...open, why };
  }
  const t = tQuantile(1 - 0.025 / skaters, scatter.df);
  const offset = tQuantile(1 - 0.025 / skaters, MANY) * request.offsetSd * leanOf(means);
  const u95 = Math.hypot(t * Math.sqrt(differenceVariance(scatter, means)), offset);
  const one = t975(scatter.df);
  const known = {
    ...given,
    u95: { value: u95 },
    u95A: { value: one * Math.sqrt(meanVariance(scatter, means.trialsA)) },
    u95B: { value: one * Math.sqrt(meanVariance(scatter, means.trialsB)) },
  };
  // No scatter at all between repeats says that the clock is too coarse, not that the difference is exact.
  if (u95 === 0) {
    const none = { value: null, why: REPEATS_ALIKE } as const;
    const why = "the repeats are all exactly alike, so their scatter can't be judged; time to more digits";
    return { ...given, u95: none, u95A: none, u95B: none, ...open, why };
  }
  const band = worth.value ?? 0;
  const { unit, less, more } = QUANTITY_WORDS[quantity];
  const sized = (v: number) => sizeText(v, unit, 2);
  const own =
    scatter.from === "own"
      ? `; judged by ${means.skater}'s own repeats, which scatter more than the others' (${sized(scatter.value)} against ${sized(scatter.others)})`
      : "";
  const at = { difference, u95 };
  const claim = settlesAt(at, band, worth.value !== null);
  const apart = Math.abs(difference) > u95;
  if (claim !== "open" || apart) {
    const left = trend
      ? {
          difference: difference - trend.slope * bLaterBy,
          u95: Math.hypot(u95, t * trend.standardError * bLaterBy),
        }
      : at;
    const blurred = oneSided || (trend === null && Math.abs(bLaterBy) >= LATER);
    const still = left.difference * difference > 0 && Math.abs(left.difference) > left.u95;
    const same = claim === "open" ? still : settlesAt(left, band, worth.value !== null) === claim;
    if (blurred || !same || left.difference * difference < 0) {
      const when = bLaterBy > 0 ? "later" : "earlier";
      const why = blurred
        ? `the second technique was skated ${when}, so the day's change can pass for a difference`
        : `trials changed through the day; without that it is ${sized(left.difference)} ± ${sized(left.u95)}`;
      return { ...known, ...open, oneSide: !blurred && still && claim === "beyond", why: `${why}${own}` };
    }
  }
  if (claim === "beyond") {
    const word = difference < 0 ? less : more;
    const least = sized(Math.abs(difference) - u95);
    const matters =
      worth.value === null
        ? ""
        : worth.from === "said"
          ? `; ${sized(band)} would already matter`
          : `; more than ${sized(band)}, 0.2 of the spread between skaters`;
    return {
      ...known,
      verdict: verdictWord(quantity, difference < 0 ? -1 : 1),
      settles: "worth it",
      oneSide: false,
      why: `allowing for scatter, at least ${least} ${word}${matters}${own}`,
    };
  }
  if (claim === "within") {
    return {
      ...known,
      verdict: "can't tell",
      settles: "not worth it",
      oneSide: false,
      why: `any difference is too small to matter${own}`,
    };
  }
  const trials = means.nA + means.nB;
  const why = apart
    ? `probably ${difference < 0 ? less : more}; whether by the ${sized(band)} that ${worth.value !== null && worth.from === "said" ? "matters" : "may matter"}, ${countWord(trials)} trials can't say`
    : "the difference is within the scatter of this many trials";
  return { ...known, ...open, oneSide: apart, why: `${why}${own}` };
}

function settlesAt(
  { difference, u95 }: { readonly difference: number; readonly u95: number },
  band: number,
  banded: boolean,
): "beyond" | "within" | "open" {
  if (Math.abs(difference) - u95 > band) return "beyond";
  return banded && Math.abs(difference) + u95 < band ? "within" : "open";
}

function verdictWord(quantity: CompareQuantity, sign: 1 | -1): Verdict {
  if (quantity === "time_s") return sign < 0 ? "faster" : "slower";
  return sign < 0 ? "less" : "more";
}
