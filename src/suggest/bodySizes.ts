import { type Body, sizeOf } from "./body.ts";

/** Real seconds each way over which the size is smoothed: about a whole cycle of both legs, so that the stride cancels. */
const HALF_CYCLE_S = 0.3;

/**
 * The body's size in the picture by frame, px, smooth: a line through the logarithms of the sizes about each frame, since
 * who comes nearer at a steady speed grows ever faster.
 *
 * @param realInterval real seconds between frames
 */
export function smoothSizes(
  bodies: readonly (Body | undefined)[],
  realInterval: number,
): (frame: number) => number {
  const logs = Array.from(bodies, (body) => (body ? Math.log(sizeOf(body)) : null));
  const half = Math.max(2, Math.round(HALF_CYCLE_S / realInterval));
  const known = new Map<number, number>();
  return (frame) => {
    const size = known.get(frame) ?? Math.exp(lineAt(logs, frame, half));
    known.set(frame, size);
    return size;
  };
}

function lineAt(values: readonly (number | null)[], at: number, half: number): number {
  let [n, sx, sy, sxx, sxy] = [0, 0, 0, 0, 0];
  for (let k = -half; k <= half; k++) {
    const y = values[at + k];
    if (y === null || y === undefined) continue;
    n++;
    sx += k;
    sy += y;
    sxx += k * k;
    sxy += k * y;
  }
  const bend = n * sxx - sx * sx;
  if (n < 2 || bend === 0) return n === 0 ? Number.NaN : sy / n;
  const slope = (n * sxy - sx * sy) / bend;
  return (sy - slope * sx) / n;
}
