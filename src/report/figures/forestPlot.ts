import { axis, roomy } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import { circles, drawn, type Segment, segments, words } from "./ink.ts";
import { nameWidth, shortened } from "./skaterRows.ts";

export interface ForestRow {
  readonly kind: "evening" | "all" | "new";
  readonly name: string;
  /** Quiet words beside the name. */
  readonly beside: string;
  readonly interval: { readonly value: number; readonly low: number; readonly high: number } | null;
  readonly text: string;
}

const [TOP, ROW, FOOT, LETTERS] = [10, 28, 64, 13];
/** Mean width of a letter, of its height. */
const LETTER = 0.57;
/** Intervals count for the axis only as far as so many times the means' own spread: two skaters' may be without measure. */
const REACH = 2;

/** Rows from above down on one axis with zero; an interval that goes on beyond the picture ends in ‹ or ›. */
export function forestPlot(
  rows: readonly ForestRow[],
  { axisWords, less, more }: { readonly axisWords: string; readonly less: string; readonly more: string },
  width: number,
  document?: DrawingDocument,
): Drawing {
  const widest = (texts: readonly string[]) => LETTER * LETTERS * Math.max(0, ...texts.map((t) => t.length));
  const left = nameWidth(
    rows.map((r) => shortened(r.name)),
    LETTERS,
  );
  const beside = left + 8 + widest(rows.map((r) => r.beside));
  const right = 14 + widest(rows.map((r) => r.text));
  const bottom = TOP + ROW * rows.length + 8;
  const x = axis(domain(rows), [beside + 18, Math.max(beside + 120, width - right - 10)], 64);
  const laid = rows.map((row, k) => ({
    ...row,
    y: TOP + (k + 0.5) * ROW + (row.kind === "evening" ? 0 : 8),
  }));
  const seen = laid.flatMap((row) => (row.interval ? [{ ...row, ...row.interval }] : []));
  const [low, high] = x.domain;
  const line = (kind: ForestRow["kind"]) =>
    seen
      .filter((r) => r.kind === kind)
      .map(
        (r): Segment => ({
          ...{ x1: x.at(Math.max(low, r.low)), x2: x.at(Math.min(high, r.high)), y1: r.y, y2: r.y },
        }),
      );
  const beyond = seen.flatMap((r) => [
    ...(r.low < low ? [{ x: x.at(low), y: r.y, text: "‹" }] : []),
    ...(r.high > high ? [{ x: x.at(high), y: r.y, text: "›" }] : []),
  ]);
  const spots = (kind: ForestRow["kind"]) =>
    seen.filter((r) => r.kind === kind).map((r) => ({ x: x.at(r.value), y: r.y }));
  const first = laid.find((r) => r.kind === "all");
  const [from, to] = x.range;
  return drawn(
    [
      segments(
        x.ticks.map((t) => ({ x1: t.at, x2: t.at, y1: TOP, y2: bottom })),
        { stroke: "var(--line)" },
      ),
      segments([{ x1: x.at(0), x2: x.at(0), y1: TOP, y2: bottom }], { strokeWidth: 1.5 }),
      ...(first
        ? [
            segments([{ x1: 0, x2: width, y1: first.y - ROW / 2 - 3, y2: first.y - ROW / 2 - 3 }], {
              stroke: "var(--ink)",
            }),
          ]
        : []),
      segments(line("evening"), { strokeWidth: 1.6 }),
      segments(line("all"), { stroke: "var(--accent)", strokeWidth: 6 }),
      segments(line("new"), { strokeWidth: 2, strokeDasharray: "5 3" }),
      circles(spots("evening"), true, 4.5),
      circles(spots("all"), true, 4.5),
      words(beyond, { textAnchor: "middle", fontWeight: 700, fontSize: 14 }),
      words(
        laid.map((r) => ({ x: 4, y: r.y, text: shortened(r.name) })),
        { textAnchor: "start", fontWeight: 600 },
      ),
      words(
        laid.map((r) => ({ x: left + 8, y: r.y, text: r.beside })),
        { textAnchor: "start", fill: "var(--quiet)" },
      ),
      words(
        laid.map((r) => ({ x: width - 4, y: r.y, text: r.text })),
        { textAnchor: "end", fontWeight: 600 },
      ),
      words(
        x.ticks.map((t) => ({ x: t.at, y: bottom + 14, text: t.text })),
        { textAnchor: "middle", fill: "var(--quiet)", fontSize: 12 },
      ),
      words([{ x: from, y: bottom + 32, text: `← ${less}` }], { textAnchor: "start", fontSize: 12 }),
      words([{ x: to, y: bottom + 32, text: `${more} →` }], { textAnchor: "end", fontSize: 12 }),
      words([{ x: to, y: bottom + 52, text: axisWords }], { textAnchor: "end", fill: "var(--quiet)" }),
    ],
    { width, height: bottom + FOOT, document },
  );
}

/** From the least to the largest that matters, zero in it. */
function domain(rows: readonly ForestRow[]): [number, number] {
  const known = rows.flatMap((r) => (r.interval ? [{ kind: r.kind, ...r.interval }] : []));
  const means = [0, ...known.map((k) => k.value)];
  const [least, most] = [Math.min(...means), Math.max(...means)];
  const room = REACH * (most - least || 0.1);
  const ends = known.flatMap((k) => [Math.max(least - room, k.low), Math.min(most + room, k.high)]);
  return roomy([...means, ...ends], 0.03);
}
