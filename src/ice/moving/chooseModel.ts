import type { FramePoints, Lens } from "../../study/types.ts";
import { undetermined } from "./checkMovingPoints.ts";
import { fitMovingCamera, type MovingFit } from "./movingCamera.ts";
import { startMoving } from "./startMoving.ts";

/** Below this misfit (marking SD) one focal length explains all frames. */
const GOOD = 1.2;

/**
 * The simplest camera that explains the points: with one focal length, or, where that clearly does not do, with
 * one for every frame.
 *
 * @throws {MeasureError} see `startMoving`
 */
export function chooseModel(
  frames: readonly FramePoints[],
  picture: { readonly width: number; readonly height: number },
  markSdPx: number,
  lens: Lens | null,
): MovingFit {
  const fitted = (zooms: boolean) =>
    fitMovingCamera(frames, startMoving(frames, picture, markSdPx, lens, zooms), markSdPx, {
      zooms,
      lens: lens ?? { k1: 0 },
      findLens: 0,
    });
  const fixed = fitted(false);
  if (fixed && (fixed.freedom <= 0 || misfitOf(fixed) <= GOOD)) return fixed;
  const zooming = fitted(true);
  if (!fixed && !zooming) throw undetermined();
  if (!fixed) return zooming!;
  return zooming && explainsMore(zooming, fixed) ? zooming : fixed;
}

function misfitOf(fit: MovingFit): number {
  return Math.sqrt(fit.chiSquare / Math.max(fit.freedom, 1));
}

/**
 * Whether a focal length for every frame is worth its parameters, by Schwarz's criterion, even without the
 * frame that gains most: one bad mark is no zoom.
 *
 * @see Schwarz (1978), Annals of Statistics 6, 461-464
 */
function explainsMore(zooming: MovingFit, fixed: MovingFit): boolean {
  if (zooming.freedom < 0) return false;
  const unit = Math.max(1, misfitOf(zooming)) ** 2;
  const gains = fixed.chiSquares.map((c, k) => c - zooming.chiSquares[k]!);
  const gain = gains.reduce((a, b) => a + b, 0) - Math.max(...gains);
  return gain / unit > (fixed.freedom - zooming.freedom) * Math.log(fixed.observations);
}
