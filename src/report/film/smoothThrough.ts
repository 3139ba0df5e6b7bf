/**
 * A smooth curve through points that never turns back between them: monotone cubic interpolation; beyond the ends
 * straight on with the end's slope.
 *
 * @param ts increasing; one value each
 * @see Fritsch, Carlson (1980), SIAM J. Numer. Anal. 17, 238-246; slopes by Fritsch, Butland (1984)
 */
export function smoothThrough(ts: readonly number[], values: readonly number[]): (t: number) => number {
  const n = ts.length;
  if (n < 2) return () => values[0] ?? 0;
  const gap = (k: number) => ts[k + 1]! - ts[k]!;
  const slope = (k: number) => (values[k + 1]! - values[k]!) / gap(k);
  const slopes = ts.map((_, k) => {
    if (k === 0) return slope(0);
    if (k === n - 1) return slope(n - 2);
    const [a, b] = [slope(k - 1), slope(k)];
    if (a * b <= 0) return 0;
    const [wa, wb] = [2 * gap(k) + gap(k - 1), gap(k) + 2 * gap(k - 1)];
    return (wa + wb) / (wa / a + wb / b);
  });
  return (t) => {
    if (t <= ts[0]!) return values[0]! + (t - ts[0]!) * slopes[0]!;
    if (t >= ts[n - 1]!) return values[n - 1]! + (t - ts[n - 1]!) * slopes[n - 1]!;
    const k = ts.findIndex((next) => next > t) - 1;
    const h = gap(k);
    const s = (t - ts[k]!) / h;
    const [a, b] = [values[k]!, values[k + 1]!];
    const bend = s * s * (3 - 2 * s);
    return a + (b - a) * bend + h * s * (1 - s) * (slopes[k]! * (1 - s) - slopes[k + 1]! * s);
  };
}
