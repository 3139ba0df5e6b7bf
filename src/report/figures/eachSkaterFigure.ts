import { countWord, listed } from "../../compare/numbers.ts";
import { leftOutWords } from "../../compare/plainWords.ts";
import type { Comparison } from "../../compare/types.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { median } from "../../statistics/median.ts";
import { formatNumber, placesFor, withUnit } from "../../uncertainty/format.ts";
import { eachSkaterLabel } from "./eachSkaterLabel.ts";
import { eachSkaterPlot } from "./eachSkaterPlot.ts";
import { claimedMeans, shortWords } from "./eachSkaterRows.ts";
import { type Figure, type Key, techniquesKey } from "./figure.ts";

/**
 * Null where nobody can be compared.
 *
 * @param tested false: the trials were not of these techniques, so nothing is claimed of them
 */
export function eachSkaterFigure(c: Comparison, tested = true): Figure | null {
  if (c.n === 0) return null;
  return {
    name: "each-skater",
    label: eachSkaterLabel(c),
    key: [...techniquesKey(c), ...keyOf(c, tested)],
    note: [
      ...(tested ? byOrder(c) : []),
      ...byOwnScatter(c),
      ...(tested ? openMeans(c) : []),
      ...(c.leftOut.length === 0 ? [] : [`Not compared: ${leftOutWords(c)}.`]),
    ].join(" "),
    draw: (width, document) => eachSkaterPlot(c, tested, width, document),
  };
}

/** Whose interval looks like an answer that is not given, and why. */
function byOrder({ pairs, smallestWorthwhile }: Comparison): string[] {
  const band = smallestWorthwhile.value ?? 0;
  const who = pairs.filter(({ verdict, settles, oneSide, u95, difference }) => {
    if (verdict !== "can't tell" || settles !== "open" || !u95.value) return false;
    return Math.abs(difference) - u95.value > (oneSide ? band : 0);
  });
  if (who.length === 0) return [];
  const named = who.length > 4 ? `${countWord(who.length)} skaters` : listed(who.map((p) => p.skater));
  return [
    `Not told for ${named}, though the interval looks so: the order of the trials may make part of it.`,
  ];
}

/** So many times as wide as is usual, an interval is asked about. */
const WIDE = 2.5;

/** Whose interval is many times as wide as the others', and why. */
function byOwnScatter({ pairs, quantity }: Comparison): string[] {
  const usual = median(pairs.flatMap(({ u95 }) => (u95.value === null ? [] : [u95.value])));
  const wide = pairs.flatMap(({ skater, u95, scatter }) =>
    u95.value !== null && u95.value > WIDE * usual && scatter.value !== null && scatter.from === "own"
      ? [{ skater, scatter }]
      : [],
  );
  const [one] = wide;
  if (!one) return [];
  const { unit } = QUANTITY_WORDS[quantity];
  const named = wide.length > 3 ? `${countWord(wide.length)} skaters` : listed(wide.map((w) => w.skater));
  const sds =
    wide.length === 1
      ? ` (SD ${withUnit(significant(one.scatter.value), unit)} against ${withUnit(significant(one.scatter.others), unit)})`
      : "";
  return [
    `The ± of ${named} is so wide because it rests on ${wide.length === 1 ? "that skater’s" : "their"} own few repeats, which scatter more than the others’${sds}.`,
  ];
}

/** Two digits are enough of a scatter. */
function significant(value: number): string {
  return formatNumber(value, placesFor(value));
}

/** Which mean is drawn open though its line is clear of 0, and why. */
function openMeans(c: Comparison): string[] {
  const claimed = claimedMeans(c, true);
  const isClear = (of: Comparison["these"] | Comparison["general"]) =>
    c.n > 1 && of.value !== null && Math.abs(of.value) > of.u95;
  const few = (c.smallestPSignFlip.value ?? 1) > 0.05;
  return [
    ...(isClear(c.these) && !claimed.these && c.conclusion !== "depends"
      ? [
          "The mean of these skaters is drawn open, though its line is clear of 0: the order of trials may make it.",
        ]
      : []),
    ...(isClear(c.general) && !claimed.general && c.conclusion !== "depends"
      ? [
          `The mean of skaters in general is drawn open, though its line is clear of 0: ${few ? `${countWord(c.n)} skaters all agree by chance too often` : "the order of trials, or the scatter of repeats, leaves it so"}.`,
        ]
      : []),
  ];
}

/** The row of one skater alone, with axes of its own; null where that skater can't be compared. */
export function ownTrialsFigure(
  c: Comparison,
  skater: string,
  number: number,
  tested: boolean,
): Figure | null {
  const pairs = c.pairs.filter((p) => p.skater === skater);
  const alone = pairs.length === 0 ? null : eachSkaterFigure({ ...c, pairs, n: 1, leftOut: [] }, tested);
  return alone && { ...alone, name: `trials-skater-${number}` };
}

/** The open mark is named by the very words of the rows that have it, and of the means. */
function keyOf(c: Comparison, tested: boolean): Key {
  const claimed = Object.values(claimedMeans(c, tested));
  const means = c.n < 2 ? 0 : [c.these, c.general].filter((m) => m.value !== null).length;
  const clear =
    tested && (c.pairs.some((p) => p.verdict !== "can't tell") || (means > 0 && claimed.includes(true)));
  const open = c.pairs.filter((p) => p.verdict === "can't tell").map(shortWords);
  if (means > claimed.filter(Boolean).length)
    open.push(c.conclusion === "alike" ? "too small" : "can’t tell");
  const may = open.includes("may be too small") ? (open.includes("too small") ? "(may be) " : "may be ") : "";
  const small = may !== "" || open.includes("too small") ? [`${may}too small`] : [];
  const words = tested
    ? [...(open.includes("can’t tell") ? ["can’t tell"] : []), ...small]
    : ["no test of these techniques"];
  return [
    ...(c.clocks.sds === null ? [] : [["thin", "time by its clip, ± 95 %"] as const]),
    ...(c.smallestWorthwhile.value === null ? [] : [["band", "too small to matter"] as const]),
    ...(clear ? [["clear", "clear"] as const] : []),
    ...(words.length > 0 ? [["open", words.join(" or ")] as const] : []),
  ];
}
