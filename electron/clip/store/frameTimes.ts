import type { Warning } from "../../../src/reading.ts";
import { median } from "../../../src/statistics/median.ts";
import type { DecodeLog, Problem, Timebase } from "../ffmpeg/decodeLog.ts";
import type { Stated } from "../ffmpeg/stated.ts";
import type { PacketCounts } from "../jobs/packetPlan.ts";
import type { Range } from "./ranges.ts";

export interface FrameTimes {
  /** Seconds, first = 0, in presentation order. */
  readonly times: readonly number[];
  readonly rateMedianHz: number | null;
  readonly variableRate: boolean;
  readonly warnings: readonly Warning[];
}

/** Seconds of one integer time after the first frame's. Subtracting integers first keeps it exact. */
export function secondsAfterFirst(pts: number, first: number, { num, den }: Timebase): number {
  return ((pts - first) * num) / den;
}

/**
 * Times in seconds from the integer times of a decode, and what is odd about them.
 * A frame without a time gets its neighbour's and the median interval, and a warning that says so.
 */
export function frameTimes(pts: readonly (number | null)[], timebase: Timebase): FrameTimes {
  const warnings: Warning[] = [];
  const tick = timebase.num / timebase.den;
  const first = pts.find((p) => p !== null) ?? 0;
  const known = pts.map((p) => (p === null ? null : secondsAfterFirst(p, first, timebase)));
  const steps: number[] = [];
  for (let n = 1; n < known.length; n++) {
    const [a, b] = [known[n - 1], known[n]];
    if (a !== null && a !== undefined && b !== null && b !== undefined) steps.push(b - a);
  }
  const forward = steps.filter((s) => s > 0);
  const middle = forward.length === 0 ? null : median(forward);
  const missing = known.flatMap((t, n) => (t === null ? [n] : []));
  if (missing.length > 0) {
    warnings.push({
      code: "times-missing",
      text: `The file gives no time for ${frames(missing)}; ${missing.length === 1 ? "it is" : "they are"} placed one usual interval from the frame beside. Don't use times there.`,
    });
  }
  const times = withoutGaps(known, middle ?? 0);

  const stuck: number[] = [];
  const uneven: number[] = [];
  for (let n = 1; n < times.length; n++) {
    const step = times[n]! - times[n - 1]!;
    if (step <= 0) stuck.push(n);
    // Rounding to the timebase moves a step by one tick; a camera's own jitter is under 2 %.
    else if (middle !== null && Math.abs(step - middle) > 1.01 * tick + 0.02 * middle) uneven.push(n);
  }
  if (stuck.length > 0) {
    warnings.push({
      code: "times-not-increasing",
      text: `The time does not advance at ${frames(stuck)}. Frames are in the right order, but times there can't be trusted.`,
    });
  }
  if (uneven.length > 0) {
    const ms = steps.filter((s) => s > 0).map((s) => s * 1000);
    warnings.push({
      code: "uneven-times",
      text: `Frames are not evenly spaced (${Math.min(...ms).toFixed(1)} to ${Math.max(...ms).toFixed(1)} ms apart). Each frame's own time is used.`,
    });
  }
  return {
    times,
    rateMedianHz: middle === null ? null : 1 / middle,
    variableRate: uneven.length > 0 || stuck.length > 0,
    warnings,
  };
}

/** What a clip is: by its header, and by what its frames say. */
export type ClipFacts = Stated & Pick<DecodeLog, "interlaced" | "transfer">;

export function clipFacts(stated: Stated, { interlaced, transfer }: DecodeLog): ClipFacts {
  return { ...stated, interlaced, transfer };
}

/** What was found out about a clip. */
export interface ClipFindings {
  readonly facts: ClipFacts;
  readonly problems: readonly Problem[];
  readonly doubtful: readonly Range[];
  /** Frames in all; null until the end was reached. */
  readonly count: number | null;
  /** Frames whose time is known. */
  readonly known: number;
  /** Seconds after the first frame. */
  readonly lastTime: number;
  /** Seconds from the file's own zero to the first frame; sound may begin before the picture. */
  readonly begins: number;
  readonly rateMedianHz: number | null;
  /** null = not read yet. */
  readonly packets: PacketCounts | null;
}

/** Where the first frame lies in what the file states as its length. */
export function beginsAt(firstPts: number | null | undefined, { num, den }: Timebase): number {
  return firstPts === null || firstPts === undefined ? 0 : (firstPts * num) / den;
}

/** Said wherever the clip is: on its own, in the window, and beside what is measured from it. */
export const MIRRORED: Warning = {
  code: "mirrored",
  text: "This clip's file says that its picture is to be shown as in a mirror, as front cameras of phones do, and so it is shown. Left and right may be exchanged, of the skater and of the lane: look for writing in the picture. If it reads backwards, don't measure this clip; film with the camera on the back of the phone.",
};

/** What the coach should know about how the clip was recorded or damaged. */
export function clipWarnings(found: ClipFindings): Warning[] {
  const { facts, problems, doubtful, count, known, lastTime, begins, rateMedianHz, packets } = found;
  const warnings: Warning[] = [];
  const warn = (code: Warning["code"], text: string) => warnings.push({ code, text });
  if (facts.interlaced)
    warn(
      "interlaced",
      "This clip is interlaced: each frame shows two moments, one on the odd and one on the even rows. Fast points look combed; mark one of the two edges every time.",
    );
  if (facts.transfer)
    warn("hdr", "This clip is HDR; its colours look pale here. Where things are is not affected.");
  if (facts.mirrored) warnings.push(MIRRORED);
  if (facts.container === "avi")
    warn(
      "no-times",
      `AVI files keep no time for each frame; times here are counted from the rate the file states${rateMedianHz ? ` (${Number(rateMedianHz.toFixed(2))} frames a second)` : ""}. If the camera left frames out, they are wrong: check them against the photocells.`,
    );
  const { discarded = 0, untimed = 0, shown = null } = packets ?? {};
  if (untimed > 0 && facts.container !== "avi")
    warn(
      "times-not-in-file",
      `The file gives no time for ${untimed} of its pictures; theirs are counted on from the picture before at the rate the file states. Check times against the photocells.`,
    );
  if (discarded > 0)
    warn(
      "discarded-frames",
      `The file holds ${discarded} more ${discarded === 1 ? "frame" : "frames"} that its edit list hides, as after cutting it on a phone. They are not shown and not counted.`,
    );
  if (problems.length > 0) {
    const said = problems[0]!.text;
    const where = doubtful.map(([from, to]) => (to - from === 1 ? `${from}` : `${from} to ${to - 1}`));
    warn(
      "damaged",
      where.length > 0
        ? `Parts of this clip are damaged (${said}). On frames ${where.join(", ")} the picture may be put together from other frames, so nothing can be marked there.`
        : `The file is not quite in order (${said}); every frame that was found could be decoded.`,
    );
  }
  if (count === null) return warnings;
  if (shown !== null && shown > count)
    warn(
      "frames-missing",
      `The file holds ${shown} pictures, but only ${count} could be decoded; ${shown - count === 1 ? "one is" : `${shown - count} are`} missing.`,
    );
  const end = begins + lastTime + (rateMedianHz ? 1 / rateMedianHz : 0);
  // Some writers count what an edit list hides into the length they state (ffmpeg's did until 2018).
  const hidden = rateMedianHz ? discarded / rateMedianHz : 0;
  const length = facts.lasts;
  if (length !== null && length - hidden - end > Math.max(0.25, 0.05 * length))
    warn(
      "ends-early",
      `The file says it lasts ${length.toFixed(2)} s, but its frames end at ${end.toFixed(2)} s (${known} frames). It may have been cut off, or its sound goes on after its picture.`,
    );
  return warnings;
}

/** From the frame before; before the first time there is, from the frame after. Frame 0 is at 0. */
function withoutGaps(known: readonly (number | null)[], interval: number): number[] {
  const begin = Math.max(
    0,
    known.findIndex((t) => t !== null),
  );
  const times: number[] = [];
  for (const [n, t] of known.entries())
    times.push(
      n < begin ? n * interval : t === null ? (times.at(-1) ?? -interval) + interval : t + begin * interval,
    );
  return times;
}

function frames(list: readonly number[]): string {
  const shown = list.slice(0, 5).join(", ");
  const more = list.length > 5 ? ` and ${list.length - 5} more` : "";
  return `frame${list.length === 1 ? "" : "s"} ${shown}${more}`;
}
