import { mean } from "../../statistics/mean.ts";
import type { KnownLength } from "../../study/types.ts";
import { derive, type Sources, type Uncertain } from "../../uncertainty/uncertain.ts";

/** Roll of a camera that was set level by eye, rad. [judgement: a degree] */
const ROLL = 0.0175;
/** Rounds in which lengths that lie askew settle the horizon they are judged by. */
const ROUNDS = 8;

/** Both ends of a length, px. */
type Ends = readonly [x1: number, y1: number, x2: number, y2: number];

export interface RowScale {
  /** Row of the length's middle as a level camera would see it, px below the picture's middle. */
  readonly row: Uncertain;
  /** Px per metre across the view in that row. */
  readonly scale: Uncertain;
  /** How far the length lies turned out of square to the view, on the ice, degrees. */
  readonly askewDeg: number;
}

/** How the scale grows down the picture: px per metre, for each row. */
export interface Growth {
  readonly at: Uncertain;
  readonly slope: Uncertain;
  readonly about: number;
}

/** What the camera may be of which lengths tell nothing, and the picture's middle, px. */
export interface Askance {
  /** Px. */
  readonly focal: Uncertain;
  /** Rad, clockwise. */
  readonly roll: Uncertain;
  readonly cx: number;
  readonly cy: number;
}

/** A picture point, from the middle of the picture, as a level camera would see it. */
export function levelled(u: number, v: number, roll: number, { cx, cy }: Pick<Askance, "cx" | "cy">) {
  return { u: u - cx + roll * (v - cy), v: v - cy - roll * (u - cx) };
}

export function rollOf(sources: Sources): Uncertain {
  return sources.add(0, ROLL);
}

/**
 * What each known length says of the scale in its own row, the row counted from the picture's middle. Where the scale is s
 * px per metre the ice is f / s ahead of the camera and, in a column u from the middle, u / s beside it: so both ends of a
 * length are placed, up to the scale in the row of its middle, once the way from that row to the horizon is known; and the
 * scale is what makes their distance right, however it lies. The focal length and the roll are guesses, and their doubt
 * goes into the scale: next to none for a length that lies square.
 *
 * @param growthOf the line through the scales found so far; its slope over its height is the way to the horizon
 */
export function rowScales(
  lengths: readonly KnownLength[],
  markSdPx: number,
  camera: Askance,
  sources: Sources,
  growthOf: (rows: readonly RowScale[]) => Growth,
): RowScale[] {
  const ends = lengths.map((l) =>
    [l.x1Px, l.y1Px, l.x2Px, l.y2Px].map((value) => sources.add(value, markSdPx)),
  );
  const metres = lengths.map((l) => sources.add(l.length, l.u ?? 0));
  let perRow = lengths.map(() => 0);
  let rows: RowScale[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const inverse = perRow;
    rows = lengths.map((_, k) => {
      /** Row of the middle, and how far apart the ends are across the view and along it, px of that row. */
      const lie = ([x1, y1, x2, y2]: Ends, f: number, roll: number) => {
        const [a, b] = [levelled(x1, y1, roll, camera), levelled(x2, y2, roll, camera)];
        const row = (a.v + b.v) / 2;
        // How much larger the scale is in an end's row than in the middle's.
        const [growA, growB] = [1 + (a.v - row) * inverse[k]!, 1 + (b.v - row) * inverse[k]!];
        return { row, across: a.u / growA - b.u / growB, along: f / growA - f / growB };
      };
      const inputs = [...ends[k]!, metres[k]!, camera.focal, camera.roll];
      const [row, scale] = derive((...[x1, y1, x2, y2, length, f, roll]) => {
        const { row: middle, across, along } = lie([x1!, y1!, x2!, y2!], f!, roll!);
        return [middle, Math.hypot(across, along) / length!];
      }, inputs);
      const marked = ends[k]!.map(({ value }) => value) as [number, number, number, number];
      const { across, along } = lie(marked, camera.focal.value, 0);
      const askewDeg = (180 / Math.PI) * Math.atan2(Math.abs(along), Math.abs(across));
      return { row: row!, scale: scale!, askewDeg };
    });
    const { at, slope, about } = growthOf(rows);
    perRow = rows.map((r) => {
      const scale = at.value + slope.value * (r.row.value - about);
      return scale > 0 && slope.value > 0 ? slope.value / scale : 0;
    });
  }
  return rows;
}

/** Straight line scale = at + slope × (row − about) through all lengths, each the same weight. */
export function scaleLine(rows: readonly RowScale[]): Growth {
  const about = mean(rows.map((r) => r.row.value));
  const fit = (...values: number[]) => {
    const n = rows.length;
    const x = values.slice(0, n).map((row) => row - about);
    const y = values.slice(n);
    const [mx, my] = [mean(x), mean(y)];
    const slope =
      x.reduce((sum, xi, k) => sum + (xi - mx) * (y[k]! - my), 0) /
      x.reduce((sum, xi) => sum + (xi - mx) ** 2, 0);
    return [my - slope * mx, slope];
  };
  const [at, slope] = derive(fit, [...rows.map((r) => r.row), ...rows.map((r) => r.scale)]);
  return { at: at!, slope: slope!, about };
}
