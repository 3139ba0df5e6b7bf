import type { OrWhy } from "../reading.ts";
import { t975 } from "../statistics/distributions.ts";
import { mean, withoutRounding } from "../statistics/mean.ts";
import type { Estimate } from "./estimate.ts";

/** A trial's value and its place among the same skater's own trials of the day: 1, 2, 3 … */
export interface Placed {
  readonly place: number;
  readonly value: number;
  /** Of a time by a clip: its own standard uncertainty; absent = the photocells'. */
  readonly clipSd?: number;
}

/**
 * How much a skater's value changes from one trial to the next, whatever the technique (warming up, tiring).
 *
 * Slope of value on place within each skater and technique, pooled, so that neither the skater nor the
 * technique can pass for it. Only repeats tell; one trial a technique cannot separate order from technique.
 *
 * @param cells one a skater and technique
 */
export function orderEffect(cells: readonly (readonly Placed[])[]): OrWhy<Estimate> {
  const centred = cells
    .filter((cell) => cell.length > 1)
    .map((cell) => {
      const [place, value] = [mean(cell.map((c) => c.place)), mean(cell.map((c) => c.value))];
      return cell.map((c) => ({ x: c.place - place, y: c.value - value, size: Math.abs(value) }));
    });
  const points = centred.flat();
  const xx = points.reduce((sum, p) => sum + p.x * p.x, 0);
  const df = points.length - centred.length - 1;
  if (df < 1 || xx === 0) {
    return {
      value: null,
      why: "Order can only be told from technique by repeats: two skaters with two trials of one technique, or one with three.",
    };
  }
  const slope = points.reduce((sum, p) => sum + p.x * p.y, 0) / xx;
  const rest = points.reduce((sum, p) => sum + withoutRounding(p.y - slope * p.x, p.size) ** 2, 0);
  if (rest === 0)
    return {
      value: slope,
      ci95: {
        value: null,
        why: "Repeats are exactly alike but for a steady change, so nothing tells how sure it is. Time to more digits.",
      },
    };
  const reach = t975(df) * Math.sqrt(rest / df / xx);
  return { value: slope, ci95: [slope - reach, slope + reach] };
}

/** Mean over skaters of how many places later b was skated than a, on average. */
export function bLaterBy(
  skaters: readonly { readonly a: readonly Placed[]; readonly b: readonly Placed[] }[],
): OrWhy<{ value: number }> {
  const both = skaters.filter(({ a, b }) => a.length > 0 && b.length > 0);
  if (both.length === 0) return { value: null, why: "No skater has a usable value with both techniques." };
  const place = (placed: readonly Placed[]) => mean(placed.map((p) => p.place));
  return { value: mean(both.map(({ a, b }) => place(b) - place(a))) };
}
