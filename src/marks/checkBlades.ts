import { MeasureError } from "../errors.ts";
import type { Mark } from "../study/types.ts";

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
  const still = new Map<string, number[]>();
  const inFrame = new Map<string, BladeMark>();
  for (const blade of all) {
    const { heel, toe } = blade;
    const place = `${hundredths(heel.xPx)}|${hundredths(heel.yPx)}|${hundredths(toe.xPx)}|${hundredths(toe.yPx)}`;
    const here = `${heel.frame}|${place}`;
    const other = inFrame.get(here);
    if (other && other.heel.side !== heel.side) {
      throw new MeasureError(
        "blades-on-one-spot",
        `checkMarks requires two blades in two places; frame ${heel.frame} has both at ${heel.xPx}, ${heel.yPx}`,
        `Both blades are marked on the very same spot in frame ${heel.frame}. Mark each blade by itself.`,
        { frame: heel.frame },
      );
    }
    inFrame.set(here, blade);
    const spot = `${heel.side}|${place}`;
    const frames = still.get(spot) ?? [];
    if (!frames.includes(heel.frame)) frames.push(heel.frame);
    still.set(spot, frames);
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
  const heels = new Map<string, Mark>();
  const keyOf = (m: Mark) => `${m.frame}|${m.side}|${m.observer ?? ""}|${m.pass ?? ""}`;
  for (const mark of marks) if (mark.point === "blade_heel") heels.set(keyOf(mark), mark);
  return marks.flatMap((toe) => {
    const heel = toe.point === "blade_toe" ? heels.get(keyOf(toe)) : undefined;
    return heel ? [{ heel, toe }] : [];
  });
}
