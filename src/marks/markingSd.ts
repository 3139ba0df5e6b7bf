import { chiSquareQuantile, t975 } from "../statistics/distributions.ts";
import type { Mark } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { middle } from "./combineRepeats.ts";
import { pointWords } from "./pointWords.ts";

/** Fewer repeated points do not say how well somebody marks. */
export const ENOUGH_POINTS = 10;
/** A mark this many marking SD from the middle of its repeats is a slip of the hand, not marking noise. */
export const SLIP_SD = 5;

/** How well the marks repeat, px per coordinate. */
export interface MarkingSd {
  readonly sdPx: number;
  /** 95 % interval of the SD (chi-square). */
  readonly low: number;
  readonly high: number;
  /** Points marked more than once, and degrees of freedom. */
  readonly points: number;
  readonly df: number;
  /** SD to reckon with: wider by what Student's t has over the normal distribution for so many degrees of freedom. */
  readonly usedPx: number;
  /** Marks left out of the SD as slips, in words. */
  readonly slips: readonly string[];
}

/** Points marked more than once, by frame, side and point. */
export function repeatedPoints(marks: readonly Mark[]): Mark[][] {
  // A second mark of a point has an observer or a pass of its own.
  if (marks.every((m) => m.observer === undefined && m.pass === undefined)) return [];
  const groups = new Map<string, Mark[]>();
  for (const mark of marks) {
    const key = `${mark.frame}|${mark.side}|${mark.point}`;
    const group = groups.get(key);
    if (group) group.push(mark);
    else groups.set(key, [mark]);
  }
  return [...groups.values()].filter((group) => group.length > 1);
}

/** Whether repeats are mostly the very same numbers, which no hand does: copies, and worth one mark each. */
export function areCopies(repeated: readonly (readonly Pick<Mark, "xPx" | "yPx">[])[]): boolean {
  const same = repeated.filter((group) =>
    group.every((m) => m.xPx === group[0]!.xPx && m.yPx === group[0]!.yPx),
  );
  return same.length > repeated.length / 2;
}

/**
 * Marking SD from repeat marks: pooled within points, both coordinates alike.
 *
 * @param clips the marks of each trial; points of different trials are different points
 * @returns null with fewer than ten repeated points, or when the repeats are copies
 * @see ISO 5725-2: pooling; the interval is that of a variance, ν s²/χ² (any handbook)
 */
export function markingSd(clips: readonly (readonly Mark[])[]): MarkingSd | null {
  const repeated = clips.flatMap(repeatedPoints);
  if (repeated.length < ENOUGH_POINTS || areCopies(repeated)) return null;
  const rough = roughSd(repeated);
  const slips: string[] = [];
  let square = 0;
  let df = 0;
  for (const group of repeated) {
    const kept = group.filter((mark) => {
      const far = group.length > 2 && distance(mark, group) > SLIP_SD * rough;
      if (far) slips.push(`the ${pointWords(mark.point, mark.side)} in frame ${mark.frame}`);
      return !far;
    });
    if (group.length === 2 && distance(group[0]!, group) > (SLIP_SD * rough) / Math.SQRT2) {
      slips.push(`the ${pointWords(group[0]!.point, group[0]!.side)} in frame ${group[0]!.frame}`);
      continue;
    }
    for (const pick of [(m: Mark) => m.xPx, (m: Mark) => m.yPx]) {
      const mean = kept.reduce((sum, m) => sum + pick(m), 0) / kept.length;
      square += kept.reduce((sum, m) => sum + (pick(m) - mean) ** 2, 0);
    }
    df += 2 * (kept.length - 1);
  }
  const sdPx = Math.sqrt(square / df);
  const end = (p: number) => sdPx * Math.sqrt(df / chiSquareQuantile(p, df));
  return {
    sdPx,
    low: end(0.975),
    high: end(0.025),
    points: repeated.length,
    df,
    usedPx: (sdPx * t975(df)) / K95,
    slips,
  };
}

/** Largest distance of a mark from the middle of its point's marks, in one coordinate. */
function distance(mark: Mark, group: readonly Mark[]): number {
  return Math.max(
    Math.abs(mark.xPx - middle(group.map((m) => m.xPx))),
    Math.abs(mark.yPx - middle(group.map((m) => m.yPx))),
  );
}

/** SD from the median of the ranges between two marks of a point: hardly moved by slips. Median of |N(0, 2σ²)| = 0.9539 σ. */
function roughSd(repeated: readonly (readonly Mark[])[]): number {
  const apart = repeated.flatMap(([a, b]) => [Math.abs(a!.xPx - b!.xPx), Math.abs(a!.yPx - b!.yPx)]);
  return middle(apart) / 0.9539;
}
