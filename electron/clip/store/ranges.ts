/** Frames by number, of which some are missing. */
type Sparse<T> = readonly (T | undefined)[];

/** Half-open: from … to-1. */
export type Range = readonly [from: number, to: number];

export const inRow = <T>(item: T | undefined): item is T => item !== undefined;

/** The first missing item at or after `from`. */
export function firstGap<T>(items: Sparse<T>, from: number): number {
  let n = from;
  while (items[n] !== undefined) n += 1;
  return n;
}

/** The first item that is there at or after `from`; null when none is. */
export function firstThere<T>(items: Sparse<T>, from: number): number | null {
  for (let n = from; n < items.length; n++) if (items[n] !== undefined) return n;
  return null;
}

/** Ranges of items that are there at or after `from`. */
export function rangesThere<T>(items: Sparse<T>, from: number): Range[] {
  const ranges: Range[] = [];
  for (let n = firstThere(items, from); n !== null; n = firstThere(items, n)) {
    const end = firstGap(items, n);
    ranges.push([n, end]);
    n = end;
  }
  return ranges;
}

/** Ranges in order, those that touch joined. */
export function joined(ranges: readonly Range[]): Range[] {
  const result: [number, number][] = [];
  for (const [from, to] of [...ranges].sort((a, b) => a[0] - b[0])) {
    const last = result.at(-1);
    if (last && from <= last[1]) last[1] = Math.max(last[1], to);
    else if (to > from) result.push([from, to]);
  }
  return result;
}
