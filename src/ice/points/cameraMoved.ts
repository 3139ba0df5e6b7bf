import type { Warning } from "../../reading.ts";
import { chiSquareQuantile } from "../../statistics/distributions.ts";
import type { IceRecheck } from "../../study/types.ts";
import { choleskyFactor, solveFactored } from "../numeric/positiveDefinite.ts";
import type { StillSummary } from "../types.ts";
import type { SeenAgain } from "./seenAgain.ts";

/** What a fit says of its points. */
export interface FittedPoints {
  /** Where point number `k` is to be seen again. */
  readonly again: (k: number) => SeenAgain;
  /** SD of its mark, px. */
  readonly sdPx: (k: number) => number;
}

/** Checks of a camera that stood still which say that it moved, whatever the number of points and frames. */
const FALSE_ALARMS = 0.02;

/** The ice points pressed again on one frame. */
interface FrameCheck {
  readonly frame: number;
  readonly marks: readonly { readonly label: string; readonly offPx: number }[];
  /** Chi-square of a shift common to all points (2 degrees of freedom), and of what it leaves (2m - 2). */
  readonly shift: number;
  readonly rest: number;
  /** Shift of all points, px, that has chi-square 1 in its least favourable direction. */
  readonly unitPx: number;
}

/**
 * Whether ice points marked again on later frames are still where the scale has them: a tripod that was bumped makes every
 * number wrong by centimetres (0.1 degrees of tilt: 5 to 14 cm). Where a point is to be seen is itself uncertain, by the
 * fit, and all points of a frame together, and so is the new mark: chi-square of both tells a bump from the hand. A bump
 * shifts all points nearly alike, so that shift is tested by itself, and what it leaves as well.
 * A point that is no longer in the reference says nothing.
 *
 * @param labels of the fit's points
 * @param markSdPx of the new marks, px
 * @param widen how much larger than stated the errors of the fit have shown to be
 */
export function movedCamera(
  rechecks: readonly IceRecheck[],
  labels: readonly string[],
  fit: FittedPoints,
  markSdPx: number,
  widen: number,
): { readonly still: StillSummary | null; readonly warnings: readonly Warning[] } {
  const known = rechecks.filter((r) => labels.includes(r.label));
  const frames = [...new Set(known.map((r) => r.frame))].sort((a, b) => a - b);
  if (frames.length === 0) return { still: null, warnings: [] };
  const checks = frames.map((frame) =>
    checkFrame(
      known.filter((r) => r.frame === frame),
      labels,
      fit,
      { markSdPx, widen },
    ),
  );
  const tests = checks.reduce((sum, { marks }) => sum + (marks.length > 1 ? 2 : 1), 0);
  const most = (freedom: number) => chiSquareQuantile(1 - FALSE_ALARMS / tests, freedom);
  const excess = ({ shift, rest, marks }: FrameCheck) =>
    Math.max(shift / most(2), marks.length > 1 ? rest / most(2 * marks.length - 2) : 0);
  const worst = checks.reduce((a, b) => (excess(b) > excess(a) ? b : a));
  const moved = excess(worst) > 1;
  const still: StillSummary = {
    points: known.length,
    frames: frames.length,
    moved,
    leastPx: Math.max(...checks.map(({ unitPx }) => unitPx)) * Math.sqrt(most(2)),
  };
  if (!moved) return { still, warnings: [] };
  const far = worst.marks.reduce((a, b) => (b.offPx > a.offPx ? b : a));
  return {
    still,
    warnings: [
      {
        code: "camera-moved",
        text: `The camera moved: on frame ${worst.frame} ice point ${far.label} is ${far.offPx.toFixed(1)} px from where it was, more than marking explains. What was marked after it moved is wrong. Mark the ice points anew on the frames that are measured, as for a camera that pans.`,
      },
    ],
  };
}

function checkFrame(
  rechecks: readonly IceRecheck[],
  labels: readonly string[],
  fit: FittedPoints,
  { markSdPx, widen }: { readonly markSdPx: number; readonly widen: number },
): FrameCheck {
  const points = rechecks.map((r) => {
    const k = labels.indexOf(r.label);
    return { ...r, k, seen: fit.again(k) };
  });
  const n = 2 * points.length;
  const off = points.flatMap(({ xPx, yPx, seen }) => [xPx - seen.xPx, yPx - seen.yPx]);
  const covariance = new Float64Array(n * n);
  points.forEach((p, i) => {
    points.forEach((q, j) => {
      const block = covarianceOf(p.seen, q.seen, p.k === q.k);
      for (const r of [0, 1]) {
        for (const c of [0, 1]) {
          // A point that was hard to mark is so again.
          const sd = Math.max(markSdPx, fit.sdPx(p.k));
          const own = i === j && r === c ? sd ** 2 : 0;
          covariance[(2 * i + r) * n + 2 * j + c] = widen ** 2 * (block[2 * r + c]! + own);
        }
      }
    });
  });
  const lower = choleskyFactor(covariance, n)!;
  const solved = (vector: readonly number[]) => {
    const x = vector.slice();
    solveFactored(lower, x);
    return x;
  };
  const alike = [0, 1].map((axis) => off.map((_, m) => (m % 2 === axis ? 1 : 0)));
  const [weighted, byX, byY] = [solved(off), solved(alike[0]!), solved(alike[1]!)];
  const total = dot(off, weighted);
  // A common shift by generalised least squares: information matrix, and what it takes off chi-square.
  const [a, b, d] = [dot(alike[0]!, byX), dot(alike[0]!, byY), dot(alike[1]!, byY)];
  const [gx, gy] = [dot(byX, off), dot(byY, off)];
  const shift = (d * gx * gx - 2 * b * gx * gy + a * gy * gy) / (a * d - b * b);
  const least = (a + d) / 2 - Math.hypot((a - d) / 2, b);
  return {
    frame: rechecks[0]!.frame,
    marks: points.map(({ label }, m) => ({ label, offPx: Math.hypot(off[2 * m]!, off[2 * m + 1]!) })),
    shift,
    rest: total - shift,
    unitPx: 1 / Math.sqrt(least),
  };
}

/**
 * Covariance of where two points are to be seen, less where they truly are, row by row: by the fit, and where both are
 * one and the same point by what its tape left open.
 */
function covarianceOf(p: SeenAgain, q: SeenAgain, same: boolean): number[] {
  return [0, 1, 2, 3].map((at) => {
    const [r, c] = [(at >> 1) as 0 | 1, (at & 1) as 0 | 1];
    return (
      dot(p.parts[r], q.parts[c]) -
      dot(p.withPlace[r], q.parts[c]) -
      dot(q.withPlace[c], p.parts[r]) +
      (same ? p.place[at]! : 0)
    );
  });
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, x, k) => sum + x * b[k]!, 0);
}
