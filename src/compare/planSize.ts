import { MeasureError } from "../errors.ts";
import { capital } from "../words.ts";
import { countWord, pText, sizeText } from "./numbers.ts";
import { FEWEST_SKATERS, MOST_PLANNED, pairedPower, pairsForPower } from "./power.ts";
import { smallestSignFlipP } from "./signFlip.ts";

export interface PlanRequest {
  /** True mean difference one wants to find, in the quantity's unit. */
  readonly difference: number;
  /** SD of one skater's repeats of one technique. */
  readonly typicalError: number;
  /** SD between skaters of what the technique truly changes. */
  readonly response: number;
  /** How often one wants to find it, 0.8 or 0.9. */
  readonly power: number;
}

export interface PlanRow {
  /** Trials of each technique for each skater. */
  readonly repeats: number;
  /** SD to expect of the skaters' differences: sqrt(response² + 2 typical error² / repeats). */
  readonly sd: number;
  readonly dZ: number;
  /** Skaters that reach the power, and enough for a sign-flip to settle anything; null = more than can be asked. */
  readonly skaters: number | null;
  /** Power really had with that many. */
  readonly power: number | null;
  /** Smallest two-sided sign-flip p of that many. */
  readonly smallestP: number | null;
  /** Timed trials in all, both techniques. */
  readonly trials: number | null;
}

const REPEATS = [1, 2, 3, 4, 6];

/**
 * How many skaters and repeats would settle a difference between two techniques.
 *
 * @throws {MeasureError} `bad-plan`
 * @see Cohen (1988), Statistical Power Analysis for the Behavioral Sciences, chapter 2: noncentral t
 */
export function planSize({ difference, typicalError, response, power }: PlanRequest): PlanRow[] {
  const sizes = [difference, typicalError, response];
  if (!sizes.every(Number.isFinite) || difference <= 0 || typicalError < 0 || response < 0) {
    throw new MeasureError(
      "bad-plan",
      `planSize needs a difference above 0 and SDs of at least 0, got ${sizes.join(", ")}`,
      "Say a difference above 0, and a scatter of 0 or more.",
    );
  }
  if (typicalError === 0 && response === 0) {
    throw new MeasureError(
      "bad-plan",
      "planSize needs some scatter",
      "Without any scatter one trial would settle it; say how much one skater's repeats scatter.",
    );
  }
  return REPEATS.map((repeats) => {
    const sd = Math.sqrt(response ** 2 + (2 * typicalError ** 2) / repeats);
    const dZ = difference / sd;
    const needed = pairsForPower(dZ, power);
    if (needed === null) {
      return { repeats, sd, dZ, skaters: null, power: null, smallestP: null, trials: null };
    }
    const skaters = Math.max(FEWEST_SKATERS, Math.ceil(needed - 1e-9));
    return {
      repeats,
      sd,
      dZ,
      skaters,
      power: pairedPower(skaters, dZ),
      smallestP: smallestSignFlipP(skaters),
      trials: 2 * skaters * repeats,
    };
  });
}

/** What so many skaters with so many repeats can settle, in a sentence or two. */
export function planWords(request: PlanRequest, skaters: number, repeats: number, unit: string): string[] {
  const { difference, typicalError, response } = request;
  const size = sizeText(difference, unit);
  const who = skaters === 1 ? "One skater" : `${capital(countWord(skaters))} skaters`;
  if (skaters < 2) return ["One skater says nothing about others; plan for six or more."];
  const smallest = smallestSignFlipP(skaters);
  const dZ = difference / Math.sqrt(response ** 2 + (2 * typicalError ** 2) / repeats);
  const chance = Math.round(100 * pairedPower(skaters, dZ));
  const often = chance >= 99 ? "more than 99" : chance <= 1 ? "at most 1" : String(chance);
  const each = `${countWord(repeats)} ${repeats === 1 ? "trial" : "trials"} of each technique`;
  const flips =
    smallest > 0.05
      ? `${who} cannot settle anything alone: even if all agree, the sign-flip gives no less than ${pText(smallest)}. Six can.`
      : `If all ${countWord(skaters)} agree, the sign-flip gives ${pText(smallest)}.`;
  return [
    `${who} with ${each} would find a true difference of ${size} by t test in ${often} of 100 such studies.`,
    flips,
  ];
}

/** "14 skaters", or why not. */
export function skatersText(row: PlanRow): string {
  return row.skaters === null ? `more than ${MOST_PLANNED}` : String(row.skaters);
}
