import type { Mark } from "../study/types.ts";
import { chiSquareQuantile } from "./distributions.ts";
import type { Had } from "./types.ts";

/** How far marks of the same point of the same frame lie apart. */
export interface MarkingScatter {
  /** SD of one mark per coordinate, px, within one observer: what the study's marking SD means. */
  readonly value: number;
  readonly ci95: readonly [low: number, high: number];
  readonly df: number;
  /** Points marked more than once by the same observer. */
  readonly points: number;
  /** SD of one mark per coordinate between observers, px: other hands see other ends. */
  readonly betweenObservers: Had<{ readonly value: number; readonly observers: number }>;
}

/**
 * Marking SD from repeat marks: the same point on the same frame, marked again in another pass or by somebody else.
 * Both coordinates are pooled; each point's own mean is taken out.
 *
 * @param marks of one clip; passes and observers as in `marks.csv`
 * @see JCGM 100:2008 (GUM), 4.2.4: pooled experimental standard deviation
 */
export function markingScatter(marks: readonly (readonly Mark[])[]): Had<MarkingScatter> {
  const own = pooled(marks.flatMap((clip) => groups(clip, (m) => `${place(m)}|${m.observer ?? ""}`)));
  if (own.df === 0) {
    return {
      value: null,
      why: "No point is marked twice by the same person. Mark a few frames again, without seeing the first marks.",
    };
  }
  const value = Math.sqrt(own.squares / own.df);
  const end = (p: number) => value * Math.sqrt(own.df / chiSquareQuantile(p, own.df));
  return {
    value,
    ci95: value === 0 ? [0, 0] : [end(0.975), end(0.025)],
    df: own.df,
    points: own.groups,
    betweenObservers: between(marks),
  };
}

function place(m: Mark): string {
  return `${m.frame}|${m.point}|${m.side}`;
}

function groups(clip: readonly Mark[], key: (m: Mark) => string): Mark[][] {
  const found = new Map<string, Mark[]>();
  for (const mark of clip) found.set(key(mark), [...(found.get(key(mark)) ?? []), mark]);
  return [...found.values()].filter((g) => g.length > 1);
}

/** Squares around each group's mean, both coordinates, and their degrees of freedom. */
function pooled(all: readonly (readonly { readonly xPx: number; readonly yPx: number }[])[]) {
  let squares = 0;
  let df = 0;
  for (const group of all) {
    for (const axis of ["xPx", "yPx"] as const) {
      const centre = group.reduce((sum, m) => sum + m[axis], 0) / group.length;
      squares += group.reduce((sum, m) => sum + (m[axis] - centre) ** 2, 0);
      df += group.length - 1;
    }
  }
  return { squares, df, groups: all.length };
}

function between(marks: readonly (readonly Mark[])[]): MarkingScatter["betweenObservers"] {
  const observers = new Set(marks.flat().flatMap((m) => (m.observer === undefined ? [] : [m.observer])));
  // Each observer's passes are averaged first, so that their own scatter counts once.
  const means = marks.flatMap((clip) =>
    groups(clip, place).map((group) => {
      const names = [...new Set(group.map((m) => m.observer ?? ""))];
      return names.map((name) => {
        const own = group.filter((m) => (m.observer ?? "") === name);
        const mean = (axis: "xPx" | "yPx") => own.reduce((sum, m) => sum + m[axis], 0) / own.length;
        return { xPx: mean("xPx"), yPx: mean("yPx") };
      });
    }),
  );
  const found = pooled(means.filter((g) => g.length > 1));
  if (found.df === 0) return { value: null, why: "Only one person has marked, so far as the marks say." };
  return { value: Math.sqrt(found.squares / found.df), observers: observers.size };
}
