import type { Picture, StraightLine } from "../../study/types.ts";
import type { Centre } from "../camera/fitCamera.ts";
import { straightened } from "../camera/lensSlopes.ts";
import { type Group, groupedLeastSquares } from "../moving/groupedLeastSquares.ts";

/** A lens fitted to lines, in lengths of `sizeOf` the picture. */
export interface FittedLines {
  readonly k1: number;
  readonly k2: number;
  readonly sdK1: number;
  readonly chiSquare: number;
  readonly freedom: number;
  /** Root of chi-square over its degrees of freedom, marking SD; 0 where none is left. */
  readonly misfit: number;
  /** Of each line: root mean square distance of its points from it, px. */
  readonly offPx: readonly number[];
}

/** Half the diagonal, px. */
export function sizeOf({ width, height }: Picture): number {
  return Math.hypot(width, height) / 2;
}

/** How far a line bends in the picture, px: its points' largest distance from the straight line through its two farthest ones. */
export function bendOf(points: StraightLine["points"]): number {
  let longest = 0;
  let bend = 0;
  for (const [k, a] of points.entries())
    for (const b of points.slice(k + 1)) {
      const length = Math.hypot(b.xPx - a.xPx, b.yPx - a.yPx);
      if (!(length > longest)) continue;
      longest = length;
      const aside = points.map((p) =>
        Math.abs((b.xPx - a.xPx) * (p.yPx - a.yPx) - (b.yPx - a.yPx) * (p.xPx - a.xPx)),
      );
      bend = Math.max(...aside) / length;
    }
  return bend;
}

/**
 * Points straightened through the lens, each as far from its line as its own mark explains: how far a pixel's error moves it there is
 * taken from the lens as well. The shared parameters are k1, the principal point in its SD and, where it is to be found, k2; each line
 * has the direction of its normal and its distance from the centre.
 *
 * @param find 1: k1 alone; 2: k2 as well
 * @returns null where the lines don't tell it
 */
export function fitLines(
  lines: readonly StraightLine[],
  picture: Picture,
  centre: Centre,
  markSdPx: number,
  find: 1 | 2,
): FittedLines | null {
  const size = sizeOf(picture);
  const groups = lines.map(
    ({ points }): Group => ({
      own: chord(points, centre, size),
      uses: find === 2 ? [0, 1, 2, 3] : [0, 1, 2],
      residuals: ([k1, a, b, k2 = 0], [turn, distance]) => {
        const frame = { cx: centre.cx + centre.sdPx * a!, cy: centre.cy + centre.sdPx * b!, focalPx: size };
        const [c, s] = [Math.cos(turn!), Math.sin(turn!)];
        return points.map((p) => {
          const { x, y, xx, xy, yy } = straightened({ k1: k1!, k2 }, frame, p.xPx, p.yPx);
          const perPx = Math.hypot(xx * c + xy * s, xy * c + yy * s) / size;
          return (c * x + s * y - distance!) / (perPx * markSdPx);
        });
      },
    }),
  );
  const known: Group = { own: [], uses: [1, 2], residuals: ([, a, b]) => [a!, b!] };
  const fit = groupedLeastSquares([...groups, known], find === 2 ? [0, 0, 0, 0] : [0, 0, 0]);
  if (!fit?.spread) return null;
  // The principal point is an observation of its own, as many as its parameters.
  const freedom = lines.reduce((sum, { points }) => sum + points.length - 2, 0) - find;
  return {
    k1: fit.shared[0]!,
    k2: fit.shared[3] ?? 0,
    sdK1: Math.hypot(...fit.spread.shared.getRow(0)),
    chiSquare: fit.sumOfSquares,
    freedom,
    misfit: freedom > 0 ? Math.sqrt(fit.sumOfSquares / freedom) : 0,
    offPx: lines.map(
      (_, k) =>
        markSdPx * Math.sqrt(fit.residuals[k]!.reduce((sum, r) => sum + r * r, 0) / fit.residuals[k]!.length),
    ),
  };
}

/** The straight line nearest to the points as they are seen (least squares of distances): its normal's direction, its distance. */
function chord(points: StraightLine["points"], { cx, cy }: Centre, size: number): [number, number] {
  const places = points.map((p) => [(p.xPx - cx) / size, (p.yPx - cy) / size] as const);
  const mean = (of: (p: readonly [number, number]) => number) =>
    places.reduce((sum, p) => sum + of(p), 0) / places.length;
  const [mx, my] = [mean(([x]) => x), mean(([, y]) => y)];
  const xx = mean(([x]) => (x - mx) ** 2);
  const yy = mean(([, y]) => (y - my) ** 2);
  const xy = mean(([x, y]) => (x - mx) * (y - my));
  const turn = Math.atan2(2 * xy, xx - yy) / 2 + Math.PI / 2;
  return [turn, Math.cos(turn) * mx + Math.sin(turn) * my];
}
