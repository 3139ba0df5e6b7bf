import { MeasureError } from "../errors.ts";
import type { Mark } from "../study/types.ts";
import { bladeNumber } from "./markTable.ts";

/** Frames in which a blade may stand in the very same place, to a hundredth of a pixel, before it looks copied. */
const STILL_FRAMES = 2;

/** So many blades without a length are no accident. */
const MANY_DOTS = 3;

/** One blade's two ends in one frame, as one observer marked them in one pass. */
interface BladeMark {
  readonly heel: Mark;
  readonly toe: Mark;
}

/**
 * Refuses blades that are copies, not marks: both ends on one spot again and again, both blades on one spot, a
 * blade on one spot for ever.
 *
 * @throws {MeasureError} `blade-without-length`, `blades-on-one-spot`, `blade-does-not-move`
 */
export function checkBlades(marks: readonly Mark[]): void {
  const all = blades(marks);
  checkLengths(all);
  const atHeel = new Map<number, BladeMark[]>();
  for (const blade of all) {
    const { heel } = blade;
    const spot = SPOTS * hundredths(heel.xPx) + hundredths(heel.yPx);
    const here = atHeel.get(spot);
    if (!here) {
      atHeel.set(spot, [blade]);
      continue;
    }
    const same = here.filter((other) => isSameSpot(other, blade));
    here.push(blade);
    const other = same.findLast((b) => b.heel.frame === heel.frame);
    if (other && other.heel.side !== heel.side) {
      throw new MeasureError(
        "blades-on-one-spot",
        `checkMarks requires two blades in two places; frame ${heel.frame} has both at ${heel.xPx}, ${heel.yPx}`,
        `Both blades are marked on the very same spot in frame ${heel.frame}. Mark each blade by itself.`,
        { frame: heel.frame },
      );
    }
    const ofSide = [...same.filter((b) => b.heel.side === heel.side), blade];
    const frames = [...new Set(ofSide.map((b) => b.heel.frame))];
    if (frames.length > STILL_FRAMES) {
      throw new MeasureError(
        "blade-does-not-move",
        `checkMarks requires a blade that moves; ${heel.side} is at ${heel.xPx}, ${heel.yPx} in frames ${frames.join(", ")}`,
        `The ${heel.side} blade is marked on the very same spot in frames ${frames.join(", ")}, as if copied. Mark it in each frame by itself.`,
        { frames, side: heel.side },
      );
    }
  }
}

/** More hundredths of a pixel than a picture has, either way. */
const SPOTS = 2 ** 25;

function isSameSpot(a: BladeMark, b: BladeMark): boolean {
  const same = (p: Mark, q: Mark) =>
    hundredths(p.xPx) === hundredths(q.xPx) && hundredths(p.yPx) === hundredths(q.yPx);
  return same(a.heel, b.heel) && same(a.toe, b.toe);
}

function hundredths(px: number): number {
  return Math.round(100 * px);
}

/** A blade that points at the camera may look like a dot once, but not always. */
function checkLengths(all: readonly BladeMark[]): void {
  const dots = all.filter(({ heel, toe }) => sameSpot(heel, toe));
  if (dots.length < Math.min(MANY_DOTS, all.length) || dots.length === 0) return;
  const { heel } = dots[0]!;
  throw new MeasureError(
    "blade-without-length",
    `checkBlades requires the two ends of a blade apart; in ${dots.length} of ${all.length} they are not, first frame ${heel.frame} ${heel.side}`,
    `The heel and toe ends of ${dots.length} of ${all.length} marked blades are on the same spot, first the ${heel.side} blade's in frame ${heel.frame}. Mark both ends of the runner.`,
    { frame: heel.frame, side: heel.side },
  );
}

/** Whether two marks are on the very same spot of the picture. */
export function sameSpot(
  a: { readonly xPx: number; readonly yPx: number },
  b: { readonly xPx: number; readonly yPx: number },
): boolean {
  return Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx) < 0.05;
}

function blades(marks: readonly Mark[]): BladeMark[] {
  const heels = new Map<number | string, Mark>();
  const keyOf = (m: Mark) =>
    m.observer === undefined && m.pass === undefined
      ? bladeNumber(m.frame, m.side)
      : `${m.frame}|${m.side}|${m.observer ?? ""}|${m.pass ?? ""}`;
  for (const mark of marks) if (mark.point === "blade_heel") heels.set(keyOf(mark), mark);
  return marks.flatMap((toe) => {
    const heel = toe.point === "blade_toe" ? heels.get(keyOf(toe)) : undefined;
    return heel ? [{ heel, toe }] : [];
  });
}
