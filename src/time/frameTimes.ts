import { MeasureError } from "../errors.ts";

/** A frame of the clip and its own presentation time, seconds of clip time. */
export interface FrameTime {
  readonly frame: number;
  readonly time: number;
}

/**
 * Checks that frames and times belong together: one time a frame, later frames later.
 * Returns each frame once, in order.
 *
 * @throws {MeasureError} `bad-frame`, `bad-time`, `frame-has-two-times`, `times-not-increasing`
 */
export function orderedFrames(samples: readonly FrameTime[]): FrameTime[] {
  for (const s of samples) {
    if (!Number.isInteger(s.frame) || s.frame < 0) {
      throw new MeasureError(
        "bad-frame",
        `orderedFrames requires whole frame numbers from 0; got ${s.frame}`,
        `"${s.frame}" is not a frame of the clip. Frames are counted 0, 1, 2 …`,
        { frame: s.frame },
      );
    }
    if (!Number.isFinite(s.time)) {
      throw new MeasureError(
        "bad-time",
        `orderedFrames requires finite times; frame ${s.frame} has ${s.time}`,
        `Frame ${s.frame} has no usable time. Each marked frame needs the clip's own time.`,
        { frame: s.frame },
      );
    }
  }
  const sorted = samples.slice().sort((a, b) => a.frame - b.frame || a.time - b.time);
  const once: FrameTime[] = [];
  for (const s of sorted) {
    const last = once[once.length - 1];
    // Tables print times with few digits, so the same frame may differ in the last one.
    if (last?.frame === s.frame) {
      if (Math.abs(last.time - s.time) <= 2e-3) continue;
      throw new MeasureError(
        "frame-has-two-times",
        `orderedFrames requires one time a frame; frame ${s.frame} has ${last.time} s and ${s.time} s`,
        `Frame ${s.frame} carries two different times, ${last.time} s and ${s.time} s. Correct one of them.`,
        { frame: s.frame },
      );
    }
    if (last && s.time <= last.time) {
      throw new MeasureError(
        "times-not-increasing",
        `orderedFrames requires increasing times; frame ${s.frame} (${s.time} s) is not after frame ${last.frame} (${last.time} s)`,
        `Frame ${s.frame} (${s.time} s) is not later than frame ${last.frame} (${last.time} s). Correct the frame or the time.`,
        { frame: s.frame, previousFrame: last.frame },
      );
    }
    once.push({ frame: s.frame, time: s.time });
  }
  return once;
}

/**
 * Clip seconds between frames: the median over neighbouring samples, so that a dropped frame or a rounded
 * time does not matter. Null with fewer than two frames.
 */
export function medianInterval(ordered: readonly FrameTime[]): number | null {
  const steps = ordered
    .slice(1)
    .map((s, k) => (s.time - ordered[k]!.time) / (s.frame - ordered[k]!.frame))
    .sort((a, b) => a - b);
  if (steps.length === 0) return null;
  const middle = steps.length >> 1;
  return steps.length % 2 === 1 ? steps[middle]! : (steps[middle - 1]! + steps[middle]!) / 2;
}

/** Real seconds between frames: a hundred thousand frames a second, and one in ten seconds, are beyond any camera of this job. [judgement] */
const REAL_INTERVAL = { least: 1e-5, most: 10 };

/**
 * @param interval clip seconds between frames, null where not known
 * @param factor how many times slower than life the clip plays
 * @throws {MeasureError} `no-such-frame-rate` where no camera takes frames so close to each other, or so far apart
 */
export function checkRealInterval(interval: number | null, factor: number): void {
  if (interval === null) return;
  const real = interval / factor;
  if (real >= REAL_INTERVAL.least && real <= REAL_INTERVAL.most) return;
  throw new MeasureError(
    "no-such-frame-rate",
    `checkRealInterval requires ${REAL_INTERVAL.least} to ${REAL_INTERVAL.most} s of real time between frames; got ${interval} s at a speed factor of ${factor}`,
    `Frames ${Number(interval.toPrecision(2))} s apart at a speed factor of ${factor} can't be: no camera takes more than 100000 frames a second of real time, or fewer than one in 10 s. Check the frames' times, and the speed factor.`,
    { interval, factor },
  );
}

/** @throws {MeasureError} `bad-frame-interval` unless it is null or a positive number of seconds */
export function checkFrameInterval(interval: number | null): void {
  if (interval === null || (interval > 0 && Number.isFinite(interval))) return;
  throw new MeasureError(
    "bad-frame-interval",
    `checkFrameInterval requires positive seconds or null; got ${interval}`,
    "The time between the clip's frames must be a positive number of seconds.",
    { interval },
  );
}
