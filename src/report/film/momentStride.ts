import { MeasureError } from "../../errors.ts";
import type { EventFrame, TrialMarks } from "../../study/types.ts";
import { type Moment, momentWords, ordered, type WishedMoment, writeMoment } from "./moment.ts";

/** The blade-offs of a trial in the order that numbers its strides, as in Measure and the report. */
function pushes({ events }: TrialMarks): EventFrame[] {
  return events.filter((e) => e.event === "blade_off").sort((a, b) => a.frame - b.frame);
}

/** The stride that a marked event belongs to: 1, 2, 3 …; null for arms and the start, which belong to none. */
export function strideOf(marks: TrialMarks, moment: Moment): number | null {
  if (moment.kind === "start" || moment.event === "arm_front" || moment.event === "arm_back") return null;
  const frame = ordered(marks.events, moment)[moment.count - 1]?.frame;
  if (frame === undefined) return null;
  const last = pushes(marks).findLastIndex((e) => e.side === moment.side && e.frame <= frame);
  return last < 0 ? null : last + 1;
}

/**
 * A moment by both of its numbers: "left blade-off 3 (stride 5)", "left blade-off 3 (strides 5 and 6)" where it is
 * another stride in each trial, "left arm front 2", "the start".
 */
export function momentName(moment: Moment, all: readonly TrialMarks[]): string {
  const numbers = all.map((marks) => strideOf(marks, moment));
  if (numbers.length === 0 || numbers.some((n) => n === null)) return momentWords(moment);
  const said = new Set(numbers).size === 1 ? `stride ${numbers[0]}` : `strides ${numbers.join(" and ")}`;
  return `${momentWords(moment)} (${said})`;
}

/**
 * The blade-off that ends stride `n`, the same one of the same side in every trial.
 *
 * @throws {MeasureError} `no-moment` where a trial has no such stride, or it is another blade-off there
 */
export function eventOfStride(
  { stride }: WishedMoment & { kind: "stride" },
  all: readonly { readonly marks: TrialMarks; readonly label: string }[],
): Moment {
  const found = all.map(({ marks, label }): Moment => {
    const row = pushes(marks);
    const push = row[stride - 1];
    if (!push) {
      const has = row.length === 0 ? "none yet" : row.length === 1 ? "only 1" : `only 1 to ${row.length}`;
      throw new MeasureError(
        "no-moment",
        `eventOfStride needs stride ${stride} in trial ${marks.trial}; it has ${row.length}`,
        `${label} has no stride ${stride}; it has ${has}. Choose another stride, or mark its blade-off in Measure.`,
      );
    }
    const count = row.slice(0, stride).filter((e) => e.side === push.side).length;
    return { kind: "event", event: "blade_off", side: push.side, count };
  });
  const words = found.map(momentWords);
  if (new Set(words).size > 1)
    throw new MeasureError(
      "no-moment",
      `eventOfStride needs the same blade-off in all trials; got ${words.join(", ")}`,
      `Stride ${stride} is not the same push in both: ${all.map(({ label }, k) => `${words[k]} (${writeMoment(found[k]!)}) in ${label}`).join(", ")}. Name one of these instead.`,
    );
  return found[0]!;
}
