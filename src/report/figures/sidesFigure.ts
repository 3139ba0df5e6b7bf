import type * as Plot from "@observablehq/plot";
import type { TrialQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import type { Side } from "../../study/types.ts";
import { apartWords, type Sides, type SkaterSides } from "../../trials/skaterSides.ts";
import { formatReading } from "../../uncertainty/format.ts";
import { type Axis, axis, roomy } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import type { Figure } from "./figure.ts";
import { circles, drawn, segments, words } from "./ink.ts";
import { nameColumn, nameMarks, rowsOf, type SkaterRows } from "./skaterRows.ts";

const TOP = 28;
/** Between the two techniques. */
const GAP = 24;

/** One skater with one technique, where both sides are measured. */
interface Row extends Sides {
  readonly skater: string;
  readonly which: "a" | "b";
}

/** Left against right of one quantity, skater by skater; null where no trial has both sides. */
export function sidesFigure(
  sides: readonly SkaterSides[],
  techniques: { readonly a: string; readonly b: string },
): Figure | null {
  const rows = sides.flatMap(({ skater, technique, found }): Row[] =>
    found.value === null ? [] : [{ skater, which: technique === techniques.a ? "a" : "b", ...found.value }],
  );
  const quantity = sides[0]?.quantity;
  if (rows.length === 0 || !quantity) return null;
  const { name } = QUANTITY_WORDS[quantity];
  return {
    name: `left-against-right-${name.replaceAll(" ", "-")}`,
    label: sidesLabel(rows, quantity, techniques),
    key: [
      ["open", "left ± 95 %"],
      ["clear", "right ± 95 %"],
    ],
    note: "Means over the trials that have both sides; ± as of one trial, for what was marked.",
    draw: (width, document) => sidesPlot(rows, quantity, techniques, { width, document }),
  };
}

function sidesPlot(
  sides: readonly Row[],
  quantity: TrialQuantity,
  techniques: { readonly a: string; readonly b: string },
  { width, document }: { readonly width: number; readonly document: DrawingDocument | undefined },
): Drawing {
  const rows = rowsOf([...new Set(sides.map((s) => s.skater))], TOP);
  const domain = roomy(
    sides.flatMap((s) => [s.left, s.right].flatMap(({ value, u95 }) => [value - u95, value + u95])),
    0.05,
  );
  const used = (["a", "b"] as const).filter((which) => sides.some((s) => s.which === which));
  const left = nameColumn(rows);
  const panel = (width - left - 10 - GAP * (used.length - 1)) / used.length;
  const { name, unit } = QUANTITY_WORDS[quantity];
  return drawn(
    [
      ...nameMarks(rows, width),
      ...used.flatMap((which, k) => {
        const from = left + k * (panel + GAP);
        const x = axis(domain, [from, from + panel], 60);
        const own = sides.filter((s) => s.which === which);
        return [
          ...panelMarks(x, rows, { title: techniques[which], below: `${name}, ${unit}` }),
          ...sideMarks(own, "left", x, rows),
          ...sideMarks(own, "right", x, rows),
        ];
      }),
    ],
    { width, height: rows.bottom + 46, document },
  );
}

function panelMarks(
  { range: [from, to], ticks }: Axis,
  { top, bottom }: SkaterRows,
  { title, below }: { readonly title: string; readonly below: string },
): Plot.Markish[] {
  const middle = (from + to) / 2;
  return [
    segments(
      ticks.map((t) => ({ x1: t.at, x2: t.at, y1: top, y2: bottom })),
      { stroke: "var(--line)" },
    ),
    words(
      ticks.map((t) => ({ x: t.at, y: bottom + 13, text: t.text })),
      { textAnchor: "middle", fill: "var(--quiet)" },
    ),
    words([{ x: middle, y: top - 14, text: title }], { textAnchor: "middle", fontWeight: 600 }),
    words([{ x: middle, y: bottom + 32, text: below }], { textAnchor: "middle" }),
  ];
}

/** Left above, open; right below, filled. */
function sideMarks(sides: readonly Row[], side: Side, x: Axis, rows: SkaterRows): Plot.Markish[] {
  const shift = (side === "left" ? -0.18 : 0.18) * rows.height;
  const own = sides.map((s) => ({ ...s[side], y: rows.at(s.skater) + shift }));
  return [
    segments(
      own.map((s) => ({ x1: x.at(s.value - s.u95), x2: x.at(s.value + s.u95), y1: s.y, y2: s.y })),
      { strokeWidth: 1.5 },
    ),
    circles(
      own.map((s) => ({ x: x.at(s.value), y: s.y })),
      side === "right",
      Math.min(4.2, 0.15 * rows.height),
    ),
  ];
}

function sidesLabel(
  rows: readonly Row[],
  quantity: TrialQuantity,
  techniques: { readonly a: string; readonly b: string },
): string {
  const { name, unit } = QUANTITY_WORDS[quantity];
  const who = (r: Row) => `${r.skater}, ${techniques[r.which]}`;
  const told = rows.filter(({ leftMinusRight: d }) => Math.abs(d.value) > d.u95);
  const finding =
    told.length === 0
      ? `No skater’s left and right can be told apart in ${name}.`
      : `Left and right differ in ${name}: ${told.map((r) => `${who(r)}, ${apartWords(r.leftMinusRight, quantity)}`).join("; ")}.`;
  const all = rows.map(
    (r) => `${who(r)}: left ${formatReading(r.left, unit)}, right ${formatReading(r.right, unit)}`,
  );
  return `${finding} ${all.join(". ")}.`;
}
