import type { TimedTrial } from "../study/timed.ts";
import { formatReading, plusMinus, withUnit } from "../uncertainty/format.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { alignedTime, timePlaces } from "./readTime.ts";

/** A trial's time as it is printed: "4.87"; of one by its clip "4.87 ± 0.03 by clip"; "no time". */
export function shownTime({ time, clipSd }: Pick<TimedTrial, "time" | "clipSd">, places: number): string {
  if (time === null) return "no time";
  return clipSd === undefined ? alignedTime(time, places) : `${clipTimeText(time, clipSd)} by clip`;
}

/** The same in a sentence: "4.87 s", "4.87 ± 0.03 s by its clip". */
export function spokenTime({ time, clipSd }: Pick<TimedTrial, "time" | "clipSd">, places: number): string {
  if (time === null) return "no time";
  return clipSd === undefined
    ? withUnit(alignedTime(time, places), "s")
    : `${plusMinus(time, K95 * clipSd, "s")} by its clip`;
}

/** "4.87 ± 0.03", half-width of the 95 % interval. */
export function clipTimeText(time: number, sd: number): string {
  return formatReading({ value: time, u95: K95 * sd }, "");
}

/** Decimals for the photocell times among trials that stand together. */
export function placesOfTimes(trials: readonly Pick<TimedTrial, "time" | "clipSd">[]): number {
  return timePlaces(trials.map(({ time, clipSd }) => (clipSd === undefined ? time : null)));
}
