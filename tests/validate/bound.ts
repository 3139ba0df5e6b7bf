import { type Filmer, see, turned, type Vec } from "./lens.ts";
import type { PlacedIcePoint } from "./placements.ts";

/*
 * Cramér-Rao bound of a distance on the ice, from the pinhole itself: no unbiased way of reading the marks can
 * scatter less. Unknowns: focal length, place and direction of the camera (7), the marked ends of the runners on
 * the ice (2 each), and the taped points' true places where the tape errs. The lens' terms are known.
 *
 * See Kay (1993), Fundamentals of Statistical Signal Processing: Estimation Theory, sections 3.7-3.9.
 */

/** Smallest SD with which `distance` of points on the ice can be had. */
export function smallestSd(
  camera: Filmer,
  icePoints: readonly PlacedIcePoint[],
  tapeError: number,
  onIce: readonly Vec[],
  noisePx: number,
  distance: (points: readonly Vec[]) => number,
): number {
  const taped = tapeError > 0 ? icePoints.length : 0;
  const unknowns = 7 + 2 * onIce.length + 2 * taped;
  const flat = (p: Vec, v: readonly number[], k: number): Vec => [p[0] + v[k]!, p[1] + v[k + 1]!, 0];
  const points = (v: readonly number[]) => onIce.map((p, k) => flat(p, v, 7 + 2 * k));
  const picture = (v: readonly number[]): number[] => {
    const moved = turned(
      {
        ...camera,
        focal: camera.focal * (1 + v[0]!),
        at: [camera.at[0] + v[1]!, camera.at[1] + v[2]!, camera.at[2] + v[3]!],
      },
      [v[4]!, v[5]!, v[6]!],
    );
    const references = icePoints.map(({ at }, k) =>
      taped === 0 ? at : flat(at, v, 7 + 2 * onIce.length + 2 * k),
    );
    return [...references, ...points(v)].flatMap((p) => see(moved, p)!);
  };
  const step = 1e-6;
  const about = new Array<number>(unknowns).fill(0);
  const slope = <T>(f: (v: readonly number[]) => T, k: number, differ: (a: T, b: T) => T): T => {
    const at = (h: number) => f(about.map((zero, m) => (m === k ? h : zero)));
    return differ(at(step), at(-step));
  };
  const columns = about.map((_, k) =>
    slope(picture, k, (a, b) => a.map((value, m) => (value - b[m]!) / (2 * step))),
  );
  const information = columns.map((a, i) =>
    columns.map((b, j) => {
      let sum = 0;
      for (let m = 0; m < a.length; m++) sum += a[m]! * b[m]!;
      // A tape's word on where a point lies is one more measurement of it.
      const tape = i === j && i >= 7 + 2 * onIce.length ? tapeError ** -2 : 0;
      return sum / noisePx ** 2 + tape;
    }),
  );
  const gradient = about.map((_, k) =>
    slope(
      (v) => distance(points(v)),
      k,
      (a, b) => (a - b) / (2 * step),
    ),
  );
  const solved = solve(information, gradient);
  return Math.sqrt(gradient.reduce((sum, g, k) => sum + g * solved[k]!, 0));
}

/** Gauss-Jordan with scaled rows and pivots. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const scale = matrix.map((row, k) => 1 / Math.sqrt(row[k]!));
  const rows = matrix.map((row, i) => [
    ...row.map((value, j) => value * scale[i]! * scale[j]!),
    right[i]! * scale[i]!,
  ]);
  const n = rows.length;
  for (let c = 0; c < n; c++) {
    let pivot = c;
    for (let r = c; r < n; r++) if (Math.abs(rows[r]![c]!) > Math.abs(rows[pivot]![c]!)) pivot = r;
    [rows[c], rows[pivot]] = [rows[pivot]!, rows[c]!];
    for (let r = 0; r < n; r++) {
      if (r === c) continue;
      const share = rows[r]![c]! / rows[c]![c]!;
      for (let k = c; k <= n; k++) rows[r]![k]! -= share * rows[c]![k]!;
    }
  }
  return rows.map((row, k) => (row[n]! / row[k]!) * scale[k]!);
}
