import { t975 } from "../statistics/distributions.ts";
import { median } from "../statistics/median.ts";
import type { Mark } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";

/** Fewer frames with both hips do not say how well somebody marks them. */
export const ENOUGH_HIP_FRAMES = 14;

/** Median of |N(0, 1)|. */
const MEDIAN_OF_NORMAL = 0.6745;
/** Farther out than this many SD it is a slip, or left and right exchanged, which is told elsewhere. */
const SLIP_SD = 4;

interface Apart {
  readonly frame: number;
  readonly x: number;
  readonly y: number;
}

/**
 * SD of a hip's mark per coordinate, px, from how unevenly the right hip lies from the left one in the picture, frame after
 * frame: each such difference is held against the line between the one before and the one after it, so that what grows or
 * turns slowly takes no part. What the pelvis itself tilts and turns from event to event is in it, so it is rather too
 * large; an error that both hips share in a frame is not. The worse of both coordinates, wider by Student's t.
 *
 * @param marks of one trial, first marking and repeats
 * @returns null with fewer than fourteen frames in which both hips are marked
 */
export function hipScatter(marks: readonly Mark[]): number | null {
  // How hands scatter is told by hands; where they marked too few, suggestions accepted count as well.
  const byHand = differences(marks.filter((m) => m.from !== "accepted"));
  const apart = byHand.length < ENOUGH_HIP_FRAMES ? differences(marks) : byHand;
  if (apart.length < ENOUGH_HIP_FRAMES) return null;
  const uneven: Record<"x" | "y", number[]> = { x: [], y: [] };
  for (let k = 1; k + 1 < apart.length; k++) {
    const [before, here, after] = [apart[k - 1]!, apart[k]!, apart[k + 1]!];
    const share = (here.frame - before.frame) / (after.frame - before.frame);
    // A difference of two marks has twice a mark's variance; so has each of the three, weighed 1, 1 - share, share.
    const sd = Math.sqrt(2 * (1 + share ** 2 + (1 - share) ** 2));
    for (const axis of ["x", "y"] as const) {
      const line = before[axis] + share * (after[axis] - before[axis]);
      uneven[axis].push(Math.abs(here[axis] - line) / sd);
    }
  }
  const count = apart.length - 2;
  // Neighbouring ones share marks: about half as many tell something of their own.
  const wider = t975(Math.floor(count / 2)) / K95;
  return wider * Math.max(rmsWithoutSlips(uneven.x), rmsWithoutSlips(uneven.y));
}

/** Right hip minus left, of the first marking, by frame. */
function differences(marks: readonly Mark[]): Apart[] {
  const left = new Map<number, Mark>();
  const right = new Map<number, Mark>();
  for (const mark of marks) {
    if (mark.point !== "hip" || mark.uPx !== undefined) continue;
    const own = mark.side === "left" ? left : right;
    if (!own.has(mark.frame)) own.set(mark.frame, mark);
  }
  return [...left.values()]
    .flatMap((l) => {
      const r = right.get(l.frame);
      return r ? [{ frame: l.frame, x: r.xPx - l.xPx, y: r.yPx - l.yPx }] : [];
    })
    .sort((a, b) => a.frame - b.frame);
}

function rmsWithoutSlips(values: readonly number[]): number {
  const most = (SLIP_SD * median(values)) / MEDIAN_OF_NORMAL;
  const kept = values.filter((value) => value <= most);
  return Math.sqrt(kept.reduce((sum, value) => sum + value ** 2, 0) / kept.length);
}
