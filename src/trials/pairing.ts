import { BEAM_SD } from "../compare/clockMix.ts";
import type { Lane } from "../study/types.ts";
import { formatNumber } from "../uncertainty/format.ts";
import type { GateTime } from "./gateTime.ts";
import { timeText } from "./readTime.ts";

export interface Pairing {
  readonly verdict: "consistent" | "speed" | "contradiction";
  /** Clip minus photocell, seconds, and the standard uncertainty of that. */
  readonly difference: number;
  readonly sd: number;
  /** What the speed factor should be multiplied by; 1 unless the verdict is "speed". */
  readonly factor: number;
  /** One or two sentences; a time can refute a pairing, never confirm it. */
  readonly text: string;
}

/** Another timed trial of the study. */
export interface OtherTrial {
  /** Photocell seconds. */
  readonly time: number;
  /** Its place in the run order, as Times and the report number it. */
  readonly order: number;
}

/**
 * Clip time over photocell time as recording and playback rates give it. 24/25 and its like are told from 1 only
 * where the joint uncertainty is small enough; 29.97/30 never is, and does no harm (docs/precision.md 7).
 */
const FACTORS = [
  1 / 10,
  1 / 8,
  1 / 4,
  1 / 3,
  1 / 2,
  4 / 5,
  5 / 6,
  24 / 25,
  25 / 24,
  6 / 5,
  5 / 4,
  2,
  3,
  4,
  8,
  10,
];

/** 95 % of differences of a right pair lie within this many standard uncertainties. */
const K95 = 1.96;

/**
 * Does the clip's own gate-to-gate time agree with the photocells'?
 *
 * Within 95 % of their joint uncertainty it is consistent. Else, near a factor by which clips are played too slow or
 * too fast (within 1 %, or twice the uncertainty where that is more), the speed factor is in doubt. Else this may
 * not be the trial's clip.
 *
 * @param others the study's other timed trials: which the clip would be consistent with too
 */
export function judgePairing(
  clip: GateTime,
  photocell: number,
  beam: Lane["gateBeam"] = "not said",
  others: readonly OtherTrial[] = [],
): Pairing {
  const sdAgainst = (time: number) => Math.hypot(clip.sd, BEAM_SD[beam], resolution(time));
  const fits = (time: number) => Math.abs(clip.value - time) <= K95 * sdAgainst(time);
  const sd = sdAgainst(photocell);
  const difference = clip.value - photocell;
  const seen = `From gate to gate the clip shows ${formatNumber(clip.value, 2)} ± ${formatNumber(K95 * clip.sd, 2)} s${clip.how === "gate frames" ? "" : " (from blade-offs)"}, the photocells ${timeText(photocell)} s`;
  const alike = others.filter((o) => fits(o.time)).sort((a, b) => a.order - b.order);
  const also = alike.length;
  if (fits(photocell)) {
    const ofTrials =
      others.length === 0 ? "" : `, consistent with ${also + 1} of ${others.length + 1} timed trials`;
    return {
      verdict: "consistent",
      difference,
      sd,
      factor: 1,
      text: `${seen}: they agree${ofTrials}. That does not prove that this is the trial's clip.`,
    };
  }
  const off = (k: number) => Math.abs(Math.log(clip.value / photocell / k));
  const factor = FACTORS.reduce((best, k) => (off(k) < off(best) ? k : best));
  if (off(factor) <= Math.max(0.01, (2 * sd) / photocell)) {
    // Two skaters' times differ by a fifth easily, by half never.
    const orOther = factor > 0.7 && factor < 1.4 ? ` Or this is another trial's clip${orScale(clip)}.` : "";
    const pace = factor > 1 ? `${rate(factor)} times slower` : `${rate(1 / factor)} times faster`;
    return {
      verdict: "speed",
      difference,
      sd,
      factor,
      text: `${seen}: it seems to play ${pace} than it should. If that is so, multiply the speed factor by ${rate(factor)}; until then every time and rate is wrong by that factor.${orOther}`,
    };
  }
  const fitting =
    others.length === 0
      ? ""
      : ` It would be consistent with ${also} of the ${others.length} other timed ${others.length === 1 ? "trial" : "trials"}${inRunOrder(alike)}.`;
  return {
    verdict: "contradiction",
    difference,
    sd,
    factor: 1,
    text: `${seen}, ${formatNumber(Math.abs(difference), 2)} s apart, more than their uncertainty allows. This may not be this trial's clip, or the gates stand elsewhere${orScale(clip)}.${fitting}`,
  };
}

/** Blade-offs are at a gate where the scale says so; frames are picked without one. */
function orScale({ how }: GateTime): string {
  return how === "blade-offs" ? `, or the ice points' places are wrong` : "";
}

/** More would make the sentence a list. */
const NAMED = 4;

/** " (No. 3, 5 in run order)": by number, so that no skater is named where only codes may be. */
function inRunOrder(trials: readonly OtherTrial[]): string {
  if (trials.length === 0) return "";
  const more = trials.length > NAMED ? ` and ${trials.length - NAMED} more` : "";
  const numbers = trials.slice(0, NAMED).map((t) => t.order);
  return ` (No. ${numbers.join(", ")}${more} in run order)`;
}

/** Rounding of a time as it was typed: half its last digit to each side, rectangular; two digits at the most coarse. */
function resolution(time: number): number {
  const digits = Math.max(2, String(time).split(".")[1]?.length ?? 0);
  return 10 ** -digits / Math.sqrt(12);
}

function rate(factor: number): string {
  return String(Number(factor.toPrecision(3)));
}
