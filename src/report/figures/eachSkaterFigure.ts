import { leftOutWords } from "../../compare/plainWords.ts";
import type { Comparison } from "../../compare/types.ts";
import { eachSkaterLabel } from "./eachSkaterLabel.ts";
import { eachSkaterPlot } from "./eachSkaterPlot.ts";
import { type Figure, type Key, techniquesKey } from "./figure.ts";

/** Null where nobody can be compared. */
export function eachSkaterFigure(c: Comparison): Figure | null {
  if (c.n === 0) return null;
  return {
    name: "each-skater",
    label: eachSkaterLabel(c),
    key: [...techniquesKey(c), ...keyOf(c)],
    note: c.leftOut.length === 0 ? "" : `Not compared: ${leftOutWords(c)}.`,
    draw: (width, document) => eachSkaterPlot(c, width, document),
  };
}

/** The row of one skater alone, with axes of its own; null where that skater can't be compared. */
export function ownTrialsFigure(c: Comparison, skater: string, number: number): Figure | null {
  const pairs = c.pairs.filter((p) => p.skater === skater);
  const alone = pairs.length === 0 ? null : eachSkaterFigure({ ...c, pairs, n: 1, leftOut: [] });
  return alone && { ...alone, name: `trials-skater-${number}` };
}

function keyOf(c: Comparison): Key {
  const clear = c.pairs.some((p) => p.verdict !== "can't tell");
  const open = c.pairs.some((p) => p.verdict === "can't tell");
  return [
    ...(c.clocks.sds === null ? [] : [["thin", "time by its clip, ± 95 %"] as const]),
    ...(c.smallestWorthwhile.value === null ? [] : [["band", "too small to matter"] as const]),
    ...(clear ? [["clear", "clear difference"] as const] : []),
    ...(open ? [["open", "difference that can’t be told"] as const] : []),
  ];
}
