import type * as Plot from "@observablehq/plot";
import type { Comparison } from "../../compare/types.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import type { Axis } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import {
  claimedMeans,
  type EachSkaterRows,
  eachSkaterRows,
  type MeanRow,
  verdictColour,
} from "./eachSkaterRows.ts";
import { boxes, circles, drawn, type Segment, segments, trialSpots, words } from "./ink.ts";

/**
 * One row a skater: every trial (a: open square, b: filled diamond; the first of each joined, the second, …), then the
 * difference with its interval on an axis of its own, with zero and the band too small to matter. Last the mean. Filled
 * is what is claimed.
 *
 * @param tested false: the trials were not of these techniques, so nothing is claimed
 */
export function eachSkaterPlot(
  c: Comparison,
  tested: boolean,
  width: number,
  document?: DrawingDocument,
): Drawing {
  const rows = eachSkaterRows(c, width);
  return drawn(
    [
      ...worthBand(c, rows),
      ...axisLines({ ...rows, bottom: rows.trialsBottom }, rows.trials, rows.bottom),
      ...axisLines(rows, rows.differences, rows.bottom),
      ...titles(c, rows),
      ...everyTrial(rows),
      ...eachDifference(c, rows, tested),
      ...means(rows, claimedMeans(c, tested)),
      ...labels(rows, tested),
    ],
    { width, height: rows.height, document },
  );
}

function worthBand(c: Comparison, { differences: { at }, top, bottom }: EachSkaterRows): Plot.Markish[] {
  const band = c.smallestWorthwhile.value;
  if (band === null) return [];
  const [x1, x2] = [at(-band), at(band)];
  const edges = [x1, x2].map((x) => ({ x1: x, x2: x, y1: top, y2: bottom }));
  return [
    boxes([{ x1, x2, y1: top, y2: bottom }], { fill: "var(--chip)" }),
    segments(edges, { stroke: "var(--line)" }),
  ];
}

function axisLines(
  { top, bottom }: Pick<EachSkaterRows, "top" | "bottom">,
  { ticks }: Axis,
  foot: number,
): Plot.Markish[] {
  const at = ticks.map((t) => ({ ...t, x: t.at, x1: t.at, x2: t.at, y1: top, y2: bottom, y: foot + 14 }));
  return [
    segments(at, { stroke: "var(--line)" }),
    words(at, { fill: "var(--quiet)", textAnchor: "middle", fontSize: 12 }),
  ];
}

function titles(c: Comparison, { trials, differences, top, bottom }: EachSkaterRows): Plot.Markish[] {
  const { name, unit, less, more } = QUANTITY_WORDS[c.quantity];
  const middle = ({ range: [from, to] }: Axis) => (from + to) / 2;
  const [from, to] = differences.range;
  const zero = differences.at(0);
  return [
    segments([{ x1: zero, x2: zero, y1: top, y2: bottom }], { strokeWidth: 1.5 }),
    words(
      [
        { x: middle(trials), y: top - 16, text: `every trial, ${unit}` },
        {
          x: middle(differences),
          y: top - 16,
          text: `${c.pairs.some((p) => p.u95.value) ? "difference ± 95 %" : "difference"}, ${unit}: ◆ minus □`,
        },
      ],
      { textAnchor: "middle", fontWeight: 600, fontSize: 12.5 },
    ),
    words([{ x: middle(trials), y: bottom + 32, text: `${name}, ${unit}` }], {
      ...{ textAnchor: "middle", fill: "var(--quiet)", fontSize: 12.5 },
    }),
    words([{ x: from, y: bottom + 32, text: `← ◆ ${less}` }], { textAnchor: "start", fontSize: 12 }),
    words([{ x: to, y: bottom + 32, text: `◆ ${more} →` }], { textAnchor: "end", fontSize: 12 }),
  ];
}

function everyTrial({ skaters, trials: { at }, rowHeight, apart }: EachSkaterRows): Plot.Markish[] {
  const r = Math.min(5.5, Math.max(1.8, 0.14 * rowHeight), 1.2 + apart);
  const spots = (which: "a" | "b") =>
    skaters.flatMap((s) => s[which].map(({ value, y }) => ({ x: at(value), y })));
  const joined = skaters.flatMap((s) =>
    s.a.flatMap((t, k): Segment[] => {
      const other = s.b[k];
      return other ? [{ x1: at(t.value), y1: t.y, x2: at(other.value), y2: other.y }] : [];
    }),
  );
  const clips = skaters.flatMap((s) =>
    [...s.a, ...s.b].flatMap(({ value, y, clipSd }): Segment[] =>
      clipSd === undefined
        ? []
        : [{ x1: at(value - K95 * clipSd), x2: at(value + K95 * clipSd), y1: y, y2: y }],
    ),
  );
  return [
    segments(joined, { stroke: "var(--quiet)", strokeOpacity: 0.6, strokeWidth: Math.min(2, 0.4 * r) }),
    trialSpots(spots("a"), "a", r),
    trialSpots(spots("b"), "b", r),
    segments(clips, { stroke: "var(--ink)", strokeWidth: 1.4 }),
  ];
}

function eachDifference(
  c: Comparison,
  { skaters, differences, rowHeight, width }: EachSkaterRows,
  tested: boolean,
): Plot.Markish[] {
  const { at } = differences;
  const r = Math.min(5, 0.2 * rowHeight);
  const spots = (clear: boolean) =>
    skaters
      .filter((s) => (tested && s.pair.verdict !== "can't tell") === clear)
      .map((s) => ({ x: at(s.difference), y: s.y }));
  const parts = skaters.map((s) => interval(s.difference, s.u95 ?? 0, s.y, differences));
  // Through the trials as well: of many skaters nobody could tell whose they are.
  const under = skaters.slice(1).map((s) => ({
    ...{ x1: 0, x2: width, y1: s.y - rowHeight / 2, y2: s.y - rowHeight / 2 },
  }));
  return [
    ...(c.n > 8 ? [segments(under, { stroke: "var(--line)", strokeOpacity: 0.7 })] : []),
    segments(
      parts.flatMap((p) => p.line),
      { strokeWidth: 1.6 },
    ),
    words(
      parts.flatMap((p) => p.beyond),
      { textAnchor: "middle", fontWeight: 700, fontSize: 14 },
    ),
    circles(spots(true), true, r),
    circles(spots(false), false, r),
  ];
}

/** The interval as far as the picture reaches, and a mark where it goes on. */
function interval(value: number, u95: number, y: number, { at, domain: [low, high] }: Axis) {
  const [from, to] = [Math.max(low, value - u95), Math.min(high, value + u95)];
  const beyond = [
    ...(from > value - u95 ? [{ x: at(low), y, text: "‹" }] : []),
    ...(to < value + u95 ? [{ x: at(high), y, text: "›" }] : []),
  ];
  return { line: [{ x1: at(from), x2: at(to), y1: y, y2: y }], beyond };
}

/** Thick: these skaters, from how well each repeats; thin: skaters in general. */
function means(
  { means: rows, differences, trials, rowHeight, width }: EachSkaterRows,
  claimed: ReturnType<typeof claimedMeans>,
): Plot.Markish[] {
  const { at } = differences;
  const of = (kind: MeanRow["of"]) => rows.filter((m) => m.of === kind);
  const lines = (kind: MeanRow["of"]) =>
    of(kind).flatMap((m) => interval(m.difference, m.u95 ?? 0, m.y, differences).line);
  const first = rows[0];
  return [
    ...(first
      ? [
          segments([{ x1: 0, x2: width, y1: first.y - rowHeight / 2 - 4, y2: first.y - rowHeight / 2 - 4 }], {
            stroke: "var(--ink)",
          }),
        ]
      : []),
    segments(lines("these"), { stroke: "var(--accent)", strokeWidth: Math.min(6, 0.3 * rowHeight) }),
    segments(lines("general"), { strokeWidth: 1.6 }),
    ...[true, false].map((filled) =>
      circles(
        rows.filter((m) => claimed[m.of] === filled).map((m) => ({ x: at(m.difference), y: m.y })),
        filled,
        Math.min(4, 0.16 * rowHeight),
      ),
    ),
    words(
      rows.map((m) => ({
        ...{ x: trials.range[1], y: m.y },
        text: m.of === "these" ? "of these skaters" : "of skaters in general",
      })),
      { textAnchor: "end", fill: "var(--quiet)" },
    ),
  ];
}

function labels({ skaters, means: rows, width, letters }: EachSkaterRows, tested: boolean): Plot.Markish[] {
  const names = [...skaters, ...rows].map((row) => ({ x: 4, y: row.y, text: row.name }));
  const right = { textAnchor: "end", fontSize: letters - 1, fontWeight: 600 } as const;
  const beside = (of: readonly { readonly y: number; readonly text: string }[]) =>
    of.map(({ y, text }) => ({ x: width - 4, y, text }));
  return [
    words(names, { textAnchor: "start", fontSize: letters, fontWeight: 600 }),
    ...(["good", "bad", "ink", "quiet"] as const).map((colour) =>
      words(beside(skaters.filter((s) => (tested ? verdictColour(s.pair) : "quiet") === colour)), {
        ...right,
        fill: `var(--${colour})`,
      }),
    ),
    words(beside(rows), right),
  ];
}
