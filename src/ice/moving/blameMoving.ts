import { type Blamed, blame, type Without } from "../points/badPoint.ts";
import { poorMisfit } from "../points/poorFit.ts";
import { misfitOf } from "./chooseModel.ts";
import { BLAME_EFFORT, Effort, pointsIn } from "./effort.ts";
import { fitMovingCamera, type MarkedFrames, type MovingFit, see } from "./movingCamera.ts";

/** So many points, those with the largest residuals, are left out in turn. */
const MOST_TRIED = 8;

/**
 * Which ice point of a moving camera is to blame for a poor fit; null where the fit is not poor or none alone
 * mends it. Of two points on a frame either may be the bad one, so the frame is named.
 */
export function blameMoving(
  marked: MarkedFrames,
  fit: MovingFit,
  effort = new Effort(BLAME_EFFORT * pointsIn(marked.frames)),
): Blamed | null {
  const { frames } = marked;
  if (misfitOf(fit) <= poorMisfit(fit.freedom)) return null;
  const suspects = frames
    .flatMap(({ points }, k): Suspect[] =>
      points.length === 2
        ? [{ k, m: null, off: sizeOf(fit, k, 0) + sizeOf(fit, k, 1) }]
        : points.map((_, m) => ({ k, m, off: sizeOf(fit, k, m) })),
    )
    .sort((a, b) => b.off - a.off)
    .slice(0, MOST_TRIED);
  return blame(suspects.map((suspect) => leaveOut(marked, fit, suspect, effort)));
}

/** Point `m` of frame `k`, or all of that frame's points. */
interface Suspect {
  readonly k: number;
  readonly m: number | null;
  readonly off: number;
}

function sizeOf(fit: MovingFit, k: number, m: number): number {
  return Math.hypot(fit.offPx[k]![2 * m]!, fit.offPx[k]![2 * m + 1]!);
}

function leaveOut(
  marked: MarkedFrames,
  fit: MovingFit,
  { k, m, off }: Suspect,
  effort: Effort,
): Without | null {
  const { frames, slant } = marked;
  const at = frames[k]!;
  const rest =
    m === null
      ? frames.filter((f) => f !== at)
      : frames.map((f) => (f === at ? { ...f, points: f.points.filter((_, n) => n !== m) } : f));
  const cameras = m === null ? fit.cameras.filter((_, n) => n !== k) : fit.cameras;
  const without = fitMovingCamera(
    { ...marked, frames: rest },
    cameras,
    { ...fit.model, lens: fit.lens },
    effort,
  );
  if (!without) return null;
  const point = m === null ? null : at.points[m]!;
  const [u, v] = point ? see(without.cameras[k]!, without.lens, point.x, point.y) : [0, 0];
  const [du, dv] = (point && slant?.(at.frame, point)) ?? [0, 0];
  const squares = without.offPx.flat().reduce((sum, r) => sum + r * r, 0);
  return {
    name: point ? `${point.label} on frame ${at.frame}` : `a point on frame ${at.frame}`,
    offPx: point
      ? Math.hypot(u + without.shutter * du - point.xPx, v + without.shutter * dv - point.yPx)
      : off,
    restPx: Math.sqrt((2 * squares) / without.observations),
    restChiSquare: without.chiSquare,
    restFreedom: without.freedom,
  };
}
