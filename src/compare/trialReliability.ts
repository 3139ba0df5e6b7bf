import type { OrWhy } from "../reading.ts";
import { type Reliability, reliability } from "./reliability.ts";
import type { CompareRow } from "./types.ts";

/** How well one technique's trials repeat: rows are skaters, columns their 1st, 2nd … usable trial. */
export interface TrialReliability {
  readonly technique: string;
  readonly skaters: readonly string[];
  readonly found: OrWhy<{ readonly value: Reliability }>;
}

/**
 * Repeated trials as a table without gaps: as many repeats as leave the most values in it, skaters with fewer left
 * out.
 */
export function trialReliability(rows: readonly CompareRow[], technique: string): TrialReliability {
  const lists = [...new Set(rows.map((r) => r.skater))].map((skater) => ({
    skater,
    values: rows
      .filter((r) => r.skater === skater && r.technique === technique && r.valid && !r.notAsAsked)
      .sort((x, y) => x.order - y.order)
      .flatMap((r) => (r.value === null ? [] : [r.value])),
  }));
  const having = (k: number) => lists.filter((l) => l.values.length >= k);
  const most = Math.max(0, ...lists.map((l) => l.values.length));
  let [k, best] = [2, 0];
  for (let repeats = 2; repeats <= most; repeats++) {
    const size = repeats * having(repeats).length;
    if (size >= best && having(repeats).length >= 2) [k, best] = [repeats, size];
  }
  const used = having(k);
  if (used.length < 2) {
    return {
      technique,
      skaters: [],
      found: {
        value: null,
        why: `It needs two skaters with two usable trials of ${technique}.`,
      },
    };
  }
  return {
    technique,
    skaters: used.map((l) => l.skater),
    found: { value: reliability(used.map((l) => l.values.slice(0, k))) },
  };
}
