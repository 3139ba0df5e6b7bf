import type { OrWhy } from "../reading.ts";
import { upperF } from "../statistics/fDistribution.ts";
import { mean, withoutRounding } from "../statistics/mean.ts";
import type { Placed } from "./orderEffect.ts";
import { clipsShare } from "./trialVariance.ts";

/** What one skater's trials scatter by, for judging that skater's own difference. */
export interface OwnScatter {
  /** SD of one trial. */
  readonly value: number;
  /** What of its square is the ± of times by clips. */
  readonly clips: number;
  readonly df: number;
  /** "own": this skater's repeats scatter more than the others', so theirs say nothing of this skater. */
  readonly from: "all" | "own";
  /** SD of the others, where `from` is "own". */
  readonly others: number;
}

export interface Scatters {
  /** By skater, in the order given. */
  readonly of: readonly OrWhy<OwnScatter>[];
  /** Common change from one trial to the next and its standard error; null where too few repeats could tell. */
  readonly trend: { readonly slope: number; readonly standardError: number } | null;
}

/** Below it, divided among the skaters, a skater's scatter leaves the pool. */
const APART = 0.05;
/** Below it a skater's scatter counts for its own few degrees of freedom only. */
const DOUBTED = 0.15;
/** With fewer degrees of freedom left a trend is not taken out: it would cost more than it gives. */
const FEWEST = 2;

interface Repeats {
  readonly cells: readonly (readonly Placed[])[];
  /** Place and value less their cell's mean; `size`: how large values of the cell are. */
  readonly points: readonly { readonly x: number; readonly y: number; readonly size: number }[];
  readonly df: number;
}

/**
 * The scatter each skater's own difference is judged by: pooled over skaters once a steady change common to all is
 * taken out. A skater who scatters more than the pool is judged by the own repeats; one who clearly does (Holm's first
 * step over all skaters) leaves the pool too. Steady skaters are never judged by less than the pool, so that two
 * trials alike by chance make nobody sure.
 *
 * @param skaters one a skater: that skater's cells, one a technique
 * @see Snedecor & Cochran (1989), Statistical Methods, section 10.10: the ratio of two variances
 */
export function ownScatters(skaters: readonly (readonly (readonly Placed[])[])[]): Scatters {
  const all = skaters.map(centred);
  const having = all.flatMap((own, i) => (own.df > 0 ? [i] : []));
  const total = having.reduce((sum, i) => sum + all[i]!.df, 0);
  if (total === 0) {
    const why =
      "Nobody has two usable trials with the same technique, so the scatter of one trial is unknown. Repeat trials to learn it.";
    return { of: all.map(() => ({ value: null, why })), trend: null };
  }
  const scatterOf = (among: readonly number[]) => pooled(among.map((i) => all[i]!));
  let pool = having;
  while (pool.length > 2) {
    const judged = pool.map((i) => ({ i, p: apart(all[i]!, scatterOf(pool.filter((j) => j !== i))) }));
    const worst = judged.reduce((x, y) => (y.p < x.p ? y : x));
    if (worst.p >= APART / having.length) break;
    pool = pool.filter((i) => i !== worst.i);
  }
  const { sd, df, slope, xx, clips } = scatterOf(pool);
  const of = all.map((own, i): OwnScatter => {
    const ownSd = own.df === 0 ? 0 : Math.sqrt(squares(own, slope) / own.df);
    const rest = pool.filter((j) => j !== i);
    const expected = Math.sqrt(asTimed({ sd, clips }, own));
    if (ownSd <= expected || rest.length === 0) return { value: sd, clips, df, from: "all", others: sd };
    const others = scatterOf(rest);
    const doubted = !pool.includes(i) || apart(own, others) < DOUBTED;
    return {
      value: ownSd,
      clips: clipsShare(own.cells),
      df: doubted ? own.df : df,
      from: doubted ? "own" : "all",
      others: others.sd,
    };
  });
  return { of, trend: xx > 0 ? { slope, standardError: sd / Math.sqrt(xx) } : null };
}

function centred(cells: readonly (readonly Placed[])[]): Repeats {
  const repeated = cells.filter((cell) => cell.length > 1);
  return {
    cells: repeated,
    points: repeated.flatMap((cell) => {
      const [place, value] = [mean(cell.map((t) => t.place)), mean(cell.map((t) => t.value))];
      return cell.map((t) => ({ x: t.place - place, y: t.value - value, size: Math.abs(value) }));
    }),
    df: repeated.reduce((sum, cell) => sum + cell.length - 1, 0),
  };
}

function squares({ points }: Repeats, slope: number): number {
  return points.reduce((sum, p) => sum + withoutRounding(p.y - slope * p.x, p.size) ** 2, 0);
}

interface Pooled {
  readonly sd: number;
  readonly df: number;
  readonly slope: number;
  readonly xx: number;
  /** What of sd² is the clips'. */
  readonly clips: number;
}

/** SD of several skaters' repeats, without a steady change where there is enough to tell one. */
function pooled(among: readonly Repeats[]): Pooled {
  const points = among.flatMap((own) => own.points);
  const xx = points.reduce((sum, p) => sum + p.x * p.x, 0);
  const total = among.reduce((sum, own) => sum + own.df, 0);
  const steady = xx > 0 && total - 1 >= FEWEST;
  const slope = steady ? points.reduce((sum, p) => sum + p.x * p.y, 0) / xx : 0;
  const df = steady ? total - 1 : total;
  const ss = among.reduce((sum, own) => sum + squares(own, slope), 0);
  const clips = clipsShare(among.flatMap((own) => own.cells));
  return { sd: Math.sqrt(ss / df), df, slope, xx: steady ? xx : 0, clips };
}

/** Variance that the others' repeats would have, timed by the clocks of a skater's own. */
function asTimed({ sd, clips }: Pick<Pooled, "sd" | "clips">, own: Repeats): number {
  const ownClips = clipsShare(own.cells);
  return Math.max(sd ** 2 - clips + ownClips, ownClips);
}

/** Chance of a scatter this much larger than the others', timed alike, if it were the same. */
function apart(own: Repeats, others: Pooled): number {
  const expected = asTimed(others, own);
  if (expected === 0) return squares(own, others.slope) > 0 ? 0 : 1;
  return upperF(squares(own, others.slope) / own.df / expected, own.df, others.df);
}
