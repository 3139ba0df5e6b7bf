import type { ClipIndex } from "../../../../src/study/exchange.ts";
import { firstFrame, lastFrame, timeOf } from "../../../store/clipFrames.ts";

/** A frame of the measured clip and one of the other that were said to show the same moment. */
export interface SameFrames {
  readonly own: number;
  readonly other: number;
}

interface Clock {
  readonly index: ClipIndex;
  readonly speedFactor: number;
}

/** Which frame of another clip goes with a frame, both running on in real time from where they were said to be the same. */
export function frameAlong(own: Clock, other: Clock, same: SameFrames, frame: number): number {
  const since = ((timeOf(own.index, frame) ?? 0) - (timeOf(own.index, same.own) ?? 0)) / own.speedFactor;
  const wanted = (timeOf(other.index, same.other) ?? 0) + since * other.speedFactor;
  return nearestFrame(other.index, wanted);
}

/** The frame whose time lies nearest to one, within what there is. */
export function nearestFrame(index: ClipIndex, time: number): number {
  const [first, last] = [firstFrame(index), lastFrame(index)];
  let [low, high] = [first, last];
  while (low < high) {
    const middle = Math.floor((low + high + 1) / 2);
    const at = timeOf(index, middle);
    if (at !== undefined && at <= time) low = middle;
    else high = middle - 1;
  }
  const [at, next] = [timeOf(index, low), timeOf(index, low + 1)];
  const isNext = at !== undefined && next !== undefined && low < last && next - time < time - at;
  return isNext ? low + 1 : low;
}
