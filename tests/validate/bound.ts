import { type Filmer, see, turned, type Vec } from "./lens.ts";
import type { PlacedIcePoint } from "./placements.ts";

/*
 * Cramér-Rao bound of a distance on the ice, from the pinhole itself: no unbiased way of reading the marks can
 * scatter less. Unknowns: the tripod's place (3), focal length (1, or one a frame for a zoom), direction (3 a frame),
 * the marked ends of the runners on the ice (2 each), and the taped points' true places where the tape errs. The
 * lens' terms are known. A camera that stands still is one frame.
 *
 * See Kay (1993), Fundamentals of Statistical Signal Processing: Estimation Theory, sections 3.7-3.9.
 */

/** The camera in one frame, and the ice points marked with it. */
export interface CameraView {
  readonly camera: Filmer;
  readonly icePoints: readonly PlacedIcePoint[];
}

export interface Filmed {
  readonly views: readonly CameraView[];
  readonly zooms: boolean;
  /** Standard uncertainty of the taped places, metres; 0 = exact. */
  readonly tapeError: number;
}

/** A point on the ice and the index of the view it is marked in. */
export interface MarkedEnd {
  readonly at: Vec;
  readonly view: number;
}

/** Smallest SD with which `distance` of points on the ice can be measured. */
export function smallestSd(
  { views, zooms, tapeError }: Filmed,
  ends: readonly MarkedEnd[],
  noisePx: number,
  distance: (points: readonly Vec[]) => number,
): number {
  const labels = tapeError > 0 ? [...new Set(views.flatMap((v) => v.icePoints.map((p) => p.label)))] : [];
  const focals = zooms ? views.length : 1;
  const firstTurn = 3 + focals;
  const firstEnd = firstTurn + 3 * views.length;
  const firstTape = firstEnd + 2 * ends.length;
  const unknowns = firstTape + 2 * labels.length;
  const flat = (p: Vec, v: readonly number[], k: number): Vec => [p[0] + v[k]!, p[1] + v[k + 1]!, 0];
  const points = (v: readonly number[]) => ends.map((end, k) => flat(end.at, v, firstEnd + 2 * k));
  const inView = views.map((_, view) => ends.flatMap((end, k) => (end.view === view ? [k] : [])));
  const pictureOf = (v: readonly number[], view: number): number[] => {
    const { camera, icePoints } = views[view]!;
    const turn = firstTurn + 3 * view;
    const moved = turned(
      {
        ...camera,
        focal: camera.focal * (1 + v[3 + (zooms ? view : 0)]!),
        at: [camera.at[0] + v[0]!, camera.at[1] + v[1]!, camera.at[2] + v[2]!],
      },
      [v[turn]!, v[turn + 1]!, v[turn + 2]!],
    );
    const references = icePoints.map(({ at, label }) =>
      labels.length === 0 ? at : flat(at, v, firstTape + 2 * labels.indexOf(label)),
    );
    const seen = inView[view]!.map((k) => flat(ends[k]!.at, v, firstEnd + 2 * k));
    return [...references, ...seen].flatMap((p) => see(moved, p)!);
  };
  const step = 1e-6;
  const at = new Array<number>(unknowns).fill(0);
  /** `f` a step up and a step down in unknown k. */
  const around = <T>(k: number, f: () => T): readonly [T, T] => {
    at[k] = step;
    const above = f();
    at[k] = -step;
    const below = f();
    at[k] = 0;
    return [above, below];
  };
  const information = at.map(() => new Array<number>(unknowns).fill(0));
  for (let view = 0; view < views.length; view++) {
    const columns = touching(view).map((k) => {
      const [above, below] = around(k, () => pictureOf(at, view));
      return { k, slope: above.map((value, m) => (value - below[m]!) / (2 * step) / noisePx) };
    });
    for (const a of columns) {
      for (const b of columns) {
        let sum = 0;
        for (let m = 0; m < a.slope.length; m++) sum += a.slope[m]! * b.slope[m]!;
        information[a.k]![b.k]! += sum;
      }
    }
  }
  // A tape's word on where a point lies is one more measurement of it.
  for (let k = firstTape; k < unknowns; k++) information[k]![k]! += tapeError ** -2;
  const gradient = at.map((_, k) => {
    if (k < firstEnd || k >= firstTape) return 0;
    const [above, below] = around(k, () => distance(points(at)));
    return (above - below) / (2 * step);
  });
  const solved = solve(information, gradient);
  return Math.sqrt(gradient.reduce((sum, g, k) => sum + g * solved[k]!, 0));

  /** Unknowns on which a view's picture depends. */
  function touching(view: number): number[] {
    const turn = firstTurn + 3 * view;
    const places = views[view]!.icePoints.map((p) => labels.indexOf(p.label)).filter((n) => n >= 0);
    return [
      ...[0, 1, 2, 3 + (zooms ? view : 0), turn, turn + 1, turn + 2],
      ...inView[view]!.flatMap((k) => [firstEnd + 2 * k, firstEnd + 2 * k + 1]),
      ...places.flatMap((n) => [firstTape + 2 * n, firstTape + 2 * n + 1]),
    ];
  }
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
      const share = rows[r]![c]! / rows[c]![c]!;
      if (r === c || share === 0) continue;
      for (let k = c; k <= n; k++) rows[r]![k]! -= share * rows[c]![k]!;
    }
  }
  return rows.map((row, k) => (row[n]! / row[k]!) * scale[k]!);
}
