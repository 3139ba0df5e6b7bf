import { butterworth, zeroLag } from "./butterworth.ts";
import { localPolynomial } from "./localPolynomial.ts";
import { residualCutoff } from "./residualCutoff.ts";

/** Cutoff where residual analysis has no answer, and the range in which its answer is believed, Hz. */
const USUAL_CUTOFF = 6;
const CUTOFFS = { least: 4, most: 12 };

export interface SmoothTrack {
  /** At the given times. */
  readonly values: readonly number[];
  readonly cutoff: number;
}

/**
 * One coordinate of a densely marked point, smoothed without delay: brought to even times, through a second-order
 * Butterworth forward and backward, and back to its own times. Frames of phones come in uneven times, and a missed
 * frame is bridged; a track with wide gaps belongs cut there first (`runsOf`).
 *
 * @param times seconds, increasing, more than 9
 * @param cutoff Hz; absent = by residual analysis, kept between 4 and 12 Hz
 * @throws {MeasureError} `track-too-short`, `bad-cutoff`
 */
export function smoothTrack(
  times: readonly number[],
  values: readonly number[],
  cutoff?: number,
): SmoothTrack {
  const [first, last] = [times[0] ?? 0, times[times.length - 1] ?? 0];
  const n = Math.max(times.length, 2);
  const step = (last - first) / (n - 1);
  const grid = Array.from({ length: times.length }, (_, k) => first + k * step);
  const even = grid.map((t) => interpolated(times, values, t));
  const rate = 1 / step;
  const chosen = cutoff ?? believed(even, rate);
  const smooth = zeroLag(even, butterworth(chosen, rate, 2));
  return { values: times.map((t) => interpolated(grid, smooth, t)), cutoff: chosen };
}

function believed(even: readonly number[], rate: number): number {
  const found = even.length > 9 ? residualCutoff(even, rate).cutoff : null;
  const bounded = Math.min(CUTOFFS.most, Math.max(CUTOFFS.least, found ?? USUAL_CUTOFF));
  return Math.min(bounded, 0.4 * rate);
}

/** Cubic through the four samples around a time; a sample's own time gives the sample. */
function interpolated(times: readonly number[], values: readonly number[], at: number): number {
  let [low, high] = [0, times.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! < at) low = middle + 1;
    else high = middle;
  }
  if (Math.abs((times[low] ?? Number.NaN) - at) < 1e-9) return values[low]!;
  const from = Math.min(Math.max(low - 2, 0), Math.max(0, times.length - 4));
  const near = times.slice(from, from + 4);
  const weights = localPolynomial(near, at, near.length - 1, 0);
  return weights.reduce((sum, w, k) => sum + w * values[from + k]!, 0);
}

/** Cuts a list in order wherever more than `most` seconds lie between neighbours. */
export function runsOf<T extends { readonly time: number }>(list: readonly T[], most: number): T[][] {
  const runs: T[][] = [];
  for (const item of list) {
    const run = runs[runs.length - 1];
    const before = run?.[run.length - 1];
    if (run && before && item.time - before.time <= most) run.push(item);
    else runs.push([item]);
  }
  return runs;
}
