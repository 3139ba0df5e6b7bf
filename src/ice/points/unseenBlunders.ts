import type { PointFit } from "./pointFit.ts";
import { predictionParts } from "./seenAgain.ts";
import { slopes, Whitening } from "./weighedPairs.ts";

/*
 * A point taped, or written down, at a wrong place pulls the fit with it. Six points show a bad one; of five none is
 * redundant by itself, and of four nothing shows at all. So with fewer than six, ± has to hold what may be wrong unseen:
 * the largest error of one point that the fit would pass over, and what it does to every reading ("internal" and
 * "external reliability": Baarda (1968), A testing procedure for use in geodetic networks, Netherlands Geodetic
 * Commission, Publications on Geodesy 2(5)).
 */

/**
 * SD of a taped place where nothing would show an error of it, metres, along and across. [no source: nobody has counted how
 * coaches mistake places. A decimetre is a tape misread or the other edge of a line. With one of four points 30 cm
 * off across the lane, intervals of widths then hold the truth in 94 to 98 of 100; by the marks alone in 50]
 */
const PLACE_SD = 0.12;
/** From so many points on a bad one shows, and is named. */
const ENOUGH = 6;
/**
 * Noncentrality at which points are said to disagree in 80 of 100 sets: chi-square with the 2 degrees of freedom of five
 * points, 2 false alarms in 100 (`poorMisfit`). [SciPy: ncx2.sf(chi2.ppf(0.98, 2), 2, 12.08) = 0.80]
 */
const SEEN = 12.08;

/**
 * The fit with its doubt widened by what so few points cannot show: each point's place is as uncertain as a place that
 * nothing checks, but in the direction in which an error would show by no more than half of what would show. The fit itself
 * stays, and so does its chi-square.
 */
export function withUnseenBlunders(fit: PointFit): PointFit {
  const { plane, camera, pairs } = fit;
  if (pairs.length >= ENOUGH) return fit;
  const blunders = pairs.flatMap((_, k) => blundersOf(fit, k));
  const widened = (gain: readonly (readonly number[])[]) =>
    gain.map((row) => [
      ...row,
      ...blunders.map(({ k, first, second }) => row[2 * k]! * first + row[2 * k + 1]! * second),
    ]);
  return {
    pairs,
    plane: { ...plane, gain: widened(plane.gain) },
    camera: camera && { ...camera, gain: widened(camera.gain) },
  };
}

/** An error of one point's place, as its two whitened observations have it. */
interface PlaceError {
  readonly k: number;
  readonly first: number;
  readonly second: number;
}

function blundersOf({ plane, pairs }: PointFit, k: number): PlaceError[] {
  const { x, y } = pairs[k]!;
  const whitening = new Whitening(pairs, plane.homography);
  const whitened = (du: number, dv: number): [number, number] => {
    const into = new Float64Array(2);
    whitening.distance(k, du, dv, into, 0);
    return [into[0]!, into[1]!];
  };
  const [ux, uy, vx, vy] = slopes(plane.homography, x, y);
  // One metre along, and one across.
  const [byX, byY] = [whitened(ux, vx), whitened(uy, vy)];
  // What the fit takes of the point's own two observations; the rest shows as misfit.
  const [rowU, rowV] = predictionParts(plane, x, y);
  const taken = [2 * k, 2 * k + 1].map((n) => whitened(rowU[n]!, rowV[n]!));
  const shows = (a: readonly [number, number], b: readonly [number, number]) =>
    [0, 1].reduce((sum, r) => {
      const left = b[r]! - taken[0]![r]! * b[0] - taken[1]![r]! * b[1];
      return sum + a[r]! * left;
    }, 0);
  // Principal directions of the misfit that an error of the place makes, per metre².
  const [xx, xy, yy] = [shows(byX, byX), (shows(byX, byY) + shows(byY, byX)) / 2, shows(byY, byY)];
  const turn = Math.atan2(2 * xy, xx - yy) / 2;
  return [turn, turn + Math.PI / 2].map((angle) => {
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const misfit = Math.max(0, c * c * xx + 2 * c * s * xy + s * s * yy);
    const size = Math.min(PLACE_SD, Math.sqrt(SEEN / misfit) / 2);
    return { k, first: size * (c * byX[0] + s * byY[0]), second: size * (c * byX[1] + s * byY[1]) };
  });
}
