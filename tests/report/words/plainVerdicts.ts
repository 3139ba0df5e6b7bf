import { average, deviation, squares, t975, tShared, upperF } from "../../helpers/plainStatistics.ts";

/** A trial: its place among the skater's own of the day, and its value. */
export type Placed = readonly { readonly x: number; readonly y: number }[];

export interface PlainSkater {
  readonly name: string;
  readonly a: Placed;
  readonly b: Placed;
}

/** One skater judged, and by what. */
export interface PlainVerdict {
  readonly u95: number | null;
  readonly verdict: "faster" | "slower" | "can't tell";
  readonly small: boolean;
  /** Judged by the own repeats: their SD and that of the others. */
  readonly own: { readonly sd: number; readonly others: number } | null;
  /** Without the steady change, where that alters the answer. */
  readonly altered: boolean;
  /** No verdict, yet all on one side of 0, also without the steady change. */
  readonly oneSide: boolean;
}

const ys = (cell: Placed) => cell.map((t) => t.y);
const xs = (cell: Placed) => cell.map((t) => t.x);

/** Slope over place within cells, its sums, and what it leaves of each skater. */
function steady(skaters: readonly PlainSkater[]) {
  let [xx, xy, yy, df] = [0, 0, 0, 0];
  for (const cell of skaters.flatMap((s) => [s.a, s.b])) {
    if (cell.length < 2) continue;
    const [x, y] = [average(xs(cell)), average(ys(cell))];
    df += cell.length - 1;
    for (const t of cell) {
      xx += (t.x - x) ** 2;
      xy += (t.x - x) * (t.y - y);
      yy += (t.y - y) ** 2;
    }
  }
  return { xx, xy, yy, df };
}

function pool(skaters: readonly PlainSkater[]) {
  const { xx, xy, yy, df } = steady(skaters);
  const taken = xx > 0 && df >= 3;
  const slope = taken ? xy / xx : 0;
  return { slope, xx: taken ? xx : 0, df: taken ? df - 1 : df, ss: yy - slope * xy };
}

function own(skater: PlainSkater, slope: number) {
  let [ss, df] = [0, 0];
  for (const cell of [skater.a, skater.b]) {
    if (cell.length < 2) continue;
    ss += squares(cell.map((t) => t.y - slope * t.x));
    df += cell.length - 1;
  }
  return { ss, df };
}

/** How likely a scatter so much larger than the others' is, were it the same. */
function unlike(skater: PlainSkater, others: readonly PlainSkater[]): number {
  const rest = pool(others);
  const { ss, df } = own(skater, rest.slope);
  if (rest.ss < 1e-18) return ss > 1e-18 ? 0 : 1;
  return upperF(ss / df / (rest.ss / rest.df), df, rest.df);
}

export const lagOf = ({ a, b }: PlainSkater) => average(xs(b)) - average(xs(a));
const differenceOf = ({ a, b }: PlainSkater) => average(ys(b)) - average(ys(a));

/** The verdicts of all skaters with both techniques. */
export function plainVerdicts(
  all: readonly PlainSkater[],
  band: number | null,
  oneSided: boolean,
): Map<string, PlainVerdict> {
  const paired = all.filter((s) => s.a.length > 0 && s.b.length > 0);
  const repeated = all.filter((s) => own(s, 0).df > 0);
  let kept = repeated;
  while (kept.length > 2) {
    const ps = kept.map((s) =>
      unlike(
        s,
        kept.filter((o) => o !== s),
      ),
    );
    const least = Math.min(...ps);
    if (least >= 0.05 / repeated.length) break;
    kept = kept.filter((_, i) => i !== ps.indexOf(least));
  }
  const found = pool(kept);
  return new Map(
    paired.map((s): [string, PlainVerdict] => {
      const none = {
        u95: null,
        verdict: "can't tell",
        small: false,
        own: null,
        altered: false,
        oneSide: false,
      } as const;
      if (repeated.length === 0) return [s.name, none];
      const others = kept.filter((o) => o !== s);
      const mine = own(s, found.slope);
      let [variance, df] = [found.ss / found.df, found.df];
      let judgedBy: PlainVerdict["own"] = null;
      if (mine.df > 0 && mine.ss / mine.df > variance && others.length > 0) {
        variance = mine.ss / mine.df;
        if (!kept.includes(s) || unlike(s, others) < 0.15) {
          df = mine.df;
          const rest = pool(others);
          judgedBy = { sd: Math.sqrt(variance), others: Math.sqrt(rest.ss / rest.df) };
        }
      }
      const t = tShared(df, paired.length);
      const u95 = t * Math.sqrt(variance * (1 / s.a.length + 1 / s.b.length));
      const at = (d: number, u: number) =>
        Math.abs(d) - u > (band ?? 0) ? 2 : band !== null && Math.abs(d) + u < band ? 1 : 0;
      const [d, lag] = [differenceOf(s), lagOf(s)];
      const raw = u95 < 1e-12 ? 0 : at(d, u95);
      const left = d - found.slope * lag;
      const trendError = found.xx > 0 ? Math.sqrt(found.ss / found.df / found.xx) : 0;
      const lead = average(s.b.flatMap((y) => s.a.map((x) => Math.sign(y.x - x.x))));
      const blurred = oneSided || Math.abs(lead) >= 0.75 || (found.xx === 0 && Math.abs(lag) >= 0.5);
      const leftHalf = Math.hypot(u95, t * trendError * lag);
      const holds = !blurred && left * d >= 0 && at(left, leftHalf) === raw;
      const apart = raw === 0 && u95 > 1e-12 && Math.abs(d) > u95;
      const oneSide =
        (apart || (raw === 2 && !holds)) && !blurred && left * d > 0 && Math.abs(left) > leftHalf;
      return [
        s.name,
        {
          u95,
          verdict: raw === 2 && holds ? (d < 0 ? "faster" : "slower") : "can't tell",
          small: raw === 1 && holds,
          own: judgedBy,
          altered: (raw > 0 && !holds) || (apart && !oneSide),
          oneSide,
        },
      ];
    }),
  );
}

/** What is left of the mean difference without a steady change; null where nothing tells. */
export function withoutChange(
  all: readonly PlainSkater[],
  least: number,
): { value: number; u95: number } | null {
  const paired = all.filter((s) => s.a.length > 0 && s.b.length > 0);
  const n = paired.length;
  const [lags, d] = [paired.map(lagOf), paired.map(differenceOf)];
  const { xx, xy, yy, df } = steady(all);
  // Repeats that are exactly alike but for the change tell nothing of how sure it is.
  if (df >= 2 && xx > 0 && yy - xy ** 2 / xx > 1e-12) {
    if (n < 2) return null;
    const slope = xy / xx;
    const left = d.map((v, i) => v - slope * lags[i]!);
    const between = (t975(n - 1) * deviation(left)) / Math.sqrt(n);
    const change = t975(df - 1) * Math.sqrt(Math.max(0, yy - slope * xy) / (df - 1) / xx) * average(lags);
    const u95 = Math.hypot(Math.max(between, least), change);
    return u95 > 1e-9 ? { value: average(left), u95 } : null;
  }
  const spread = squares(lags);
  if (n < 3 || spread < 1e-9) return null;
  const slope = lags.reduce((sum, v, i) => sum + (v - average(lags)) * (d[i]! - average(d)), 0) / spread;
  const rest = squares(d.map((v, i) => v - slope * lags[i]!));
  const error = Math.sqrt((rest / (n - 2)) * (1 / n + average(lags) ** 2 / spread));
  return error > 1e-12 ? { value: average(d) - slope * average(lags), u95: t975(n - 2) * error } : null;
}
