import type { OrWhy } from "../reading.ts";
import { t975, twoSidedP } from "../statistics/distributions.ts";
import { mean } from "../statistics/mean.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import type { Estimate } from "./estimate.ts";

/** One trial: its time and what was measured on it. */
export interface TimedMeasure {
  readonly skater: string;
  readonly technique: string;
  /** Photocell time, seconds. */
  readonly time: number;
  /** Stride width or recovery, metres; or another stride quantity in its unit. */
  readonly measure: number;
  /** Half-width of its 95 % interval, where it has one. */
  readonly u95?: number;
}

/** Differences of the measure within skaters must be this many times what its own uncertainty makes of none. */
const ABOVE_NOISE = 2;

export interface WithinSkater extends Estimate {
  /** Seconds for each unit of the measure, within skater. */
  readonly ci95: readonly [low: number, high: number];
  readonly df: number;
  readonly p: number;
  /** Correlation within skater of the same means. */
  readonly r: number;
  /** Skaters and means it rests on. */
  readonly skaters: number;
  readonly means: number;
  /** How far the measure ranges within a skater, smallest and largest. */
  readonly span: readonly [number, number];
}

/**
 * How time goes with a measure within skaters: one slope for all, each skater keeping an own level. Repeats of a
 * skater and technique are averaged first: they share whatever that technique does to that skater, so counting each
 * trial would claim more than is known.
 *
 * @see Bland & Altman (1995), BMJ 310, 446: correlation within subjects, here on means
 */
export function withinSkater(trials: readonly TimedMeasure[]): OrWhy<WithinSkater> {
  const centred = [...new Set(trials.map((t) => t.skater))].flatMap((skater) => {
    const own = trials.filter((t) => t.skater === skater);
    const cells = [...new Set(own.map((t) => t.technique))].map((technique) => {
      const cell = own.filter((t) => t.technique === technique);
      const doubt = cell.reduce((sum, t) => sum + ((t.u95 ?? 0) / K95) ** 2, 0) / cell.length ** 2;
      return { x: mean(cell.map((t) => t.measure)), y: mean(cell.map((t) => t.time)), doubt };
    });
    if (cells.length < 2) return [];
    const [x, y] = [mean(cells.map((c) => c.x)), mean(cells.map((c) => c.y))];
    return [cells.map((c) => ({ x: c.x - x, y: c.y - y, doubt: c.doubt * (1 - 1 / cells.length) }))];
  });
  const points = centred.flat();
  const df = points.length - centred.length - 1;
  const [xx, xy, yy] = [
    points.reduce((sum, p) => sum + p.x * p.x, 0),
    points.reduce((sum, p) => sum + p.x * p.y, 0),
    points.reduce((sum, p) => sum + p.y * p.y, 0),
  ];
  if (df < 1) {
    return {
      value: null,
      why: "It needs two skaters who have both a time and this measure for two techniques.",
    };
  }
  const size = Math.max(...trials.map((t) => Math.abs(t.measure)));
  if (Math.sqrt(xx) <= 1e-9 * size) {
    return { value: null, why: "The measure did not differ between techniques, so time cannot go with it." };
  }
  const noise = points.reduce((sum, p) => sum + p.doubt, 0);
  if (xx < ABOVE_NOISE ** 2 * noise) {
    return {
      value: null,
      why: "It hardly changed within skaters, by no more than it could be measured to, so it cannot explain the time.",
    };
  }
  const value = xy / xx;
  const rest = Math.max(0, yy - value * xy);
  if (rest <= 1e-15 * yy || yy === 0) {
    return {
      value: null,
      why: "The means lie exactly on a line, so there is no scatter to judge the slope by.",
    };
  }
  const standardError = Math.sqrt(rest / df / xx);
  const reach = t975(df) * standardError;
  const spans = centred.map((own) => Math.max(...own.map((p) => p.x)) - Math.min(...own.map((p) => p.x)));
  return {
    value,
    ci95: [value - reach, value + reach],
    df,
    p: twoSidedP(value / standardError, df),
    r: xy / Math.sqrt(xx * yy),
    skaters: centred.length,
    means: points.length,
    span: [Math.min(...spans), Math.max(...spans)],
  };
}
