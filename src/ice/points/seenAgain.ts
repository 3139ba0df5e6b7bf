import { lensOf, type PlaneFit } from "../camera/fitPlane.ts";
import { iceToPicture } from "../camera/homography.ts";
import { withLensTerms } from "../camera/lensSlopes.ts";
import { predicted } from "./judgePoints.ts";
import type { PointFit } from "./pointFit.ts";
import { slopes } from "./weighedPairs.ts";

/** Where an ice point is to be seen while the camera stands still. */
export interface SeenAgain {
  readonly xPx: number;
  readonly yPx: number;
  /** What each coordinate owes to each of the fit's observations erring by one SD, px: two lists of 2n. */
  readonly parts: readonly [readonly number[], readonly number[]];
  /** What of the point's own mark is left in that by its taped place's error: covariance of the two, px², 2 x 2n. */
  readonly withPlace: readonly [readonly number[], readonly number[]];
  /** Covariance of the taped place as seen in the picture, px², 2 x 2. */
  readonly place: readonly [number, number, number, number];
}

/**
 * Where the fit, and the mark of the point itself, say that ice point number `k` is seen. A point taped exactly is where
 * the fit has it; one taped roughly is rather where it was marked: the two are weighed by what the tape and the mark are
 * good for.
 */
export function seenAgain({ plane, pairs }: PointFit, k: number): SeenAgain {
  const pair = pairs[k]!;
  const [u, v] = predicted(plane, pair);
  const fitted = predictionParts(plane, pair.x, pair.y);
  const [a, b, c, d] = slopes(plane.homography, pair.x, pair.y);
  const tape = pair.placeSd ** 2;
  const [xx, xy, yy] = [tape * (a * a + b * b), tape * (a * c + b * d), tape * (c * c + d * d)];
  // Cholesky factor of the observation's covariance, tape and mark together, as the fit has whitened it.
  const own = pair.markSdPx ** 2;
  const l11 = Math.sqrt(xx + own);
  const l21 = xy / l11;
  const l22 = Math.sqrt(yy + own - l21 * l21);
  // Share of the residual that is the tape's: place · (place + mark)⁻¹.
  const det = (xx + own) * (yy + own) - xy * xy;
  const share = [
    (xx * (yy + own) - xy * xy) / det,
    (xy * own) / det,
    (xy * own) / det,
    (yy * (xx + own) - xy * xy) / det,
  ] as const;
  const [du, dv] = [pair.uPx - u, pair.vPx - v];
  const left = (row: 0 | 1) =>
    fitted[0].map(
      (part, n) =>
        (row === 0 ? part : fitted[1][n]!) - share[2 * row]! * part - share[2 * row + 1]! * fitted[1][n]!,
    );
  const parts: [number[], number[]] = [left(0), left(1)];
  for (const row of [0, 1] as const) {
    parts[row][2 * k]! += share[2 * row]! * l11 + share[2 * row + 1]! * l21;
    parts[row][2 * k + 1]! += share[2 * row + 1]! * l22;
  }
  // place · L⁻ᵀ: what the tape's error and the whitened observation have in common.
  const inCommon = ([p, q]: readonly [number, number]) => {
    const first = p / l11;
    return [first, (q - l21 * first) / l22] as const;
  };
  const withPlace: [number[], number[]] = [parts[0].map(() => 0), parts[1].map(() => 0)];
  [withPlace[0][2 * k], withPlace[0][2 * k + 1]] = inCommon([xx, xy]) as [number, number];
  [withPlace[1][2 * k], withPlace[1][2 * k + 1]] = inCommon([xy, yy]) as [number, number];
  return {
    xPx: u + share[0] * du + share[1] * dv,
    yPx: v + share[2] * du + share[3] * dv,
    parts,
    withPlace,
    place: [xx, xy, xy, yy],
  };
}

/** What the picture place of (x, y) owes to each observation of the fit erring by one SD, px. */
export function predictionParts(plane: PlaneFit, x: number, y: number): [number[], number[]] {
  const { frame } = plane.lens;
  const [u, v] = iceToPicture(plane.homography, x, y);
  const seen = withLensTerms(
    lensOf(plane.lens, [plane.lens.lens.k1, plane.lens.lens.k2 ?? 0]),
    (u - frame.cx) / frame.focalPx,
    (v - frame.cy) / frame.focalPx,
  );
  // Normalised coordinates, in which the elements are.
  const [nx, ny] = [(x - plane.ice.x) * plane.ice.scale, (y - plane.ice.y) * plane.ice.scale];
  const [nu, nv] = [(u - plane.picture.x) * plane.picture.scale, (v - plane.picture.y) * plane.picture.scale];
  const px = 1 / ((plane.elements[6]! * nx + plane.elements[7]! * ny + 1) * plane.picture.scale);
  const [ax, ay] = [px * nx, px * ny];
  const byElement = [
    ...[ax, ay, px].map((du) => [du, 0] as const),
    ...[ax, ay, px].map((dv) => [0, dv] as const),
    [-nu * ax, -nv * ax] as const,
    [-nu * ay, -nv * ay] as const,
  ].map(([du, dv]) => [seen.xx * du + seen.xy * dv, seen.xy * du + seen.yy * dv] as const);
  const byLens = [seen.byK1, seen.byK2].map(([kx, ky]) => [frame.focalPx * kx, frame.focalPx * ky] as const);
  const by = [...byElement, ...byLens];
  const row = (of: 0 | 1) =>
    plane.gain[0]!.map((_, n) => plane.gain.reduce((sum, parts, e) => sum + by[e]![of] * parts[n]!, 0));
  return [row(0), row(1)];
}
