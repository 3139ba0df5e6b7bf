import type { OrWhy } from "../reading.ts";
import { t975 } from "../statistics/distributions.ts";
import { mean } from "../statistics/mean.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import type { TimedMeasure } from "./withinSkater.ts";

/** Fewer degrees of freedom give intervals that tell nothing: t is 2.8 with four, 12.7 with one. */
const ENOUGH = 4;
/** The measure must scatter by this many times its own uncertainty. */
const ABOVE_NOISE = 2;

/** Seconds for each unit of the measure among one skater's trials of one technique. */
export interface WithinTechnique {
  readonly value: number;
  readonly ci95: readonly [low: number, high: number];
  readonly df: number;
  readonly trials: number;
}

/**
 * How time goes with a measure among repeats of one skater and one technique: one slope for all, each cell keeping an
 * own level, so that neither skater nor technique can pass for it. Unlike `withinSkater` it is not the difference of
 * the techniques in other units.
 *
 * @see Snedecor & Cochran (1980), Statistical Methods, section 14.4: pooled regression within groups
 */
export function withinTechnique(trials: readonly TimedMeasure[]): OrWhy<WithinTechnique> {
  const keyOf = (t: TimedMeasure) => JSON.stringify([t.skater, t.technique]);
  const cells = [...new Set(trials.map(keyOf))].map((key) => trials.filter((t) => keyOf(t) === key));
  const centred = cells
    .filter((cell) => cell.length > 1)
    .map((cell) => {
      const [x, y] = [mean(cell.map((t) => t.measure)), mean(cell.map((t) => t.time))];
      const share = 1 - 1 / cell.length;
      return cell.map((t) => ({
        x: t.measure - x,
        y: t.time - y,
        doubt: ((t.u95 ?? 0) / K95) ** 2 * share,
      }));
    });
  const points = centred.flat();
  const df = points.length - centred.length - 1;
  if (df < ENOUGH) return { value: null, why: "too few repeats have both a time and this measure." };
  const sum = (of: (p: (typeof points)[number]) => number) => points.reduce((all, p) => all + of(p), 0);
  const [xx, xy, yy] = [sum((p) => p.x * p.x), sum((p) => p.x * p.y), sum((p) => p.y * p.y)];
  const size = Math.max(...trials.map((t) => Math.abs(t.measure)));
  if (Math.sqrt(xx) <= 1e-9 * size || xx < ABOVE_NOISE ** 2 * sum((p) => p.doubt))
    return { value: null, why: "repeats differ in it by no more than it could be measured to." };
  const value = xy / xx;
  const rest = Math.max(0, yy - value * xy);
  if (rest <= 1e-15 * yy || yy === 0)
    return { value: null, why: "there is no scatter to judge the slope by." };
  const reach = t975(df) * Math.sqrt(rest / df / xx);
  return { value, ci95: [value - reach, value + reach], df, trials: points.length };
}
