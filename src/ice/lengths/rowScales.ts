import type { KnownLength } from "../../study/types.ts";
import { derive, type Sources, type Uncertain } from "../../uncertainty/uncertain.ts";

/** Roll of a camera that was set level by eye, rad. [judgement: a degree] */
const ROLL = 0.0175;
/** Rounds in which lengths that lie askew settle the horizon they are judged by. */
const ROUNDS = 8;

/** Both ends of a length, px. */
type Ends = readonly [x1: number, y1: number, x2: number, y2: number];

export interface RowScale {
  /** Picture row of the length's middle, px. */
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

/**
 * What each known length says of the scale in its own row. A length askew to the view looks short for itself: one of
 * slope t in the picture, at a row where the view meets the ice at slope (v − horizon) / f, lies askew by
 * tan θ = t f / (v − horizon), and only cos θ of it is across. The focal length and the roll are guesses, and their doubt
 * goes into the scale: next to none for a length that lies square.
 *
 * @param focal px
 * @param growthOf the line through the scales found so far; its slope over its height is the way to the horizon
 */
export function rowScales(
  lengths: readonly KnownLength[],
  markSdPx: number,
  focal: Uncertain,
  sources: Sources,
  growthOf: (rows: readonly RowScale[]) => Growth,
): RowScale[] {
  const ends = lengths.map((l) =>
    [l.x1Px, l.y1Px, l.x2Px, l.y2Px].map((value) => sources.add(value, markSdPx)),
  );
  const metres = lengths.map((l) => sources.add(l.length, l.u ?? 0));
  const roll = sources.add(0, ROLL);
  let perRow = lengths.map(() => 0);
  let rows: RowScale[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const inverse = perRow;
    rows = lengths.map((_, k) => {
      const inputs = [...ends[k]!, metres[k]!, focal, roll];
      const turn = ([x1, y1, x2, y2]: Ends, f: number, rolled: number) => {
        const [du, dv] = [x2 - x1 + rolled * (y2 - y1), y2 - y1 - rolled * (x2 - x1)];
        return { du, along: (dv * f * inverse[k]!) / (du || Number.MIN_VALUE) };
      };
      const [row, scale] = derive((x1, y1, x2, y2, length, f, rolled) => {
        const { du, along } = turn([x1!, y1!, x2!, y2!], f!, rolled!);
        return [(y1! + y2!) / 2, (Math.abs(du) * Math.hypot(1, along)) / length!];
      }, inputs);
      const marked = ends[k]!.map(({ value }) => value) as [number, number, number, number];
      const { along } = turn(marked, focal.value, 0);
      return { row: row!, scale: scale!, askewDeg: (180 / Math.PI) * Math.atan(Math.abs(along)) };
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
  const about = rows.reduce((sum, r) => sum + r.row.value, 0) / rows.length;
  const fit = (...values: number[]) => {
    const n = rows.length;
    const x = values.slice(0, n).map((row) => row - about);
    const y = values.slice(n);
    const [mx, my] = [x.reduce((a, b) => a + b, 0) / n, y.reduce((a, b) => a + b, 0) / n];
    const slope =
      x.reduce((sum, xi, k) => sum + (xi - mx) * (y[k]! - my), 0) /
      x.reduce((sum, xi) => sum + (xi - mx) ** 2, 0);
    return [my - slope * mx, slope];
  };
  const [at, slope] = derive(fit, [...rows.map((r) => r.row), ...rows.map((r) => r.scale)]);
  return { at: at!, slope: slope!, about };
}
