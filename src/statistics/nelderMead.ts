/**
 * Smallest value of a smooth function of a few numbers, without derivatives (Nelder and Mead's simplex).
 * Started again from where it ended until that no longer helps, so that a simplex that has collapsed is noticed.
 *
 * @param start one or more numbers
 * @param size how far the first simplex reaches in each direction, more than 0
 * @see Nelder & Mead (1965), The Computer Journal 7(4), 308-313
 */
export function nelderMead(
  f: (at: readonly number[]) => number,
  start: readonly number[],
  size: readonly number[],
) {
  let best = { at: start, value: f(start) };
  for (let round = 0; round < 6; round++) {
    const next = descend(
      f,
      best.at,
      size.map((s) => s / 50 ** round),
    );
    const gain = best.value - next.value;
    if (gain > 0) best = next;
    if (round > 0 && gain < 1e-11 * (1 + Math.abs(best.value))) break;
  }
  return best;
}

interface Corner {
  readonly at: readonly number[];
  readonly value: number;
}

function descend(
  f: (at: readonly number[]) => number,
  start: readonly number[],
  size: readonly number[],
): Corner {
  const n = start.length;
  const corner = (at: readonly number[]): Corner => ({ at, value: f(at) });
  const corners = [start, ...start.map((_, k) => start.map((v, i) => (i === k ? v + size[k]! : v)))].map(
    corner,
  );
  const byValue = (x: Corner, y: Corner) => x.value - y.value;
  for (let step = 0; step < 400; step++) {
    corners.sort(byValue);
    const [first, last] = [corners[0]!, corners[n]!];
    const width = Math.max(...first.at.map((v, i) => Math.abs(last.at[i]! - v)));
    if (width < 1e-7 * (1 + Math.max(...first.at.map(Math.abs)))) break;
    const middle = start.map((_, i) => corners.slice(0, n).reduce((sum, c) => sum + c.at[i]!, 0) / n);
    const along = (share: number) => corner(middle.map((m, i) => m + share * (last.at[i]! - m)));
    const mirrored = along(-1);
    if (mirrored.value < first.value) {
      const further = along(-2);
      corners[n] = further.value < mirrored.value ? further : mirrored;
    } else if (mirrored.value < corners[n - 1]!.value) {
      corners[n] = mirrored;
    } else {
      const nearer = along(mirrored.value < last.value ? -0.5 : 0.5);
      if (nearer.value < Math.min(last.value, mirrored.value)) corners[n] = nearer;
      else
        for (let k = 1; k <= n; k++)
          corners[k] = corner(corners[k]!.at.map((v, i) => (v + first.at[i]!) / 2));
    }
  }
  return corners.sort(byValue)[0]!;
}
