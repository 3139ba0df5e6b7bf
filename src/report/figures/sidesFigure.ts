import type * as Plot from "@observablehq/plot";
import type { SideMean } from "../../kinematics/types.ts";
import type { TrialQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { mean } from "../../statistics/mean.ts";
import type { Side } from "../../study/types.ts";
import { formatNumber, formatReading, withUnit } from "../../uncertainty/format.ts";
import { type Axis, axis, roomy } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import type { Figure } from "./figure.ts";
import { circles, drawn, segments, words } from "./ink.ts";
import { byCell, type MeasuredTrial } from "./measuredTrials.ts";
import { nameColumn, nameMarks, rowsOf, type SkaterRows } from "./skaterRows.ts";

const TOP = 28;
/** Between the two techniques. */
const GAP = 24;

interface OneSide {
  readonly mean: number;
  /** As of one trial: what trials share does not shrink with their number. */
  readonly u95: number;
}

/** Means of one skater and technique. */
interface Sides {
  readonly skater: string;
  readonly which: "a" | "b";
  readonly left: OneSide;
  readonly right: OneSide;
}

/** Left against right of one quantity, skater by skater; null where no trial has both sides. */
export function sidesFigure(
  trials: readonly MeasuredTrial[],
  quantity: TrialQuantity,
  techniques: { readonly a: string; readonly b: string },
): Figure | null {
  const rows = byCell(trials).flatMap((cell) => sidesOf(cell, quantity));
  if (rows.length === 0) return null;
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

function sidesOf(cell: readonly MeasuredTrial[], quantity: TrialQuantity): Sides[] {
  const both = cell.flatMap((t) => {
    const found = t.readings.trial[quantity];
    return "mean" in found && "mean" in found.left && "mean" in found.right
      ? [{ left: found.left, right: found.right }]
      : [];
  });
  const first = cell[0];
  if (both.length === 0 || !first) return [];
  const of = (side: Side): OneSide => ({
    mean: mean(both.map((t) => meanOf(t[side]).mean)),
    u95: mean(both.map((t) => meanOf(t[side]).u95)),
  });
  return [{ skater: first.skater, which: first.which, left: of("left"), right: of("right") }];
}

function meanOf(side: SideMean): OneSide {
  return "mean" in side ? side : { mean: Number.NaN, u95: Number.NaN };
}

function sidesPlot(
  sides: readonly Sides[],
  quantity: TrialQuantity,
  techniques: { readonly a: string; readonly b: string },
  { width, document }: { readonly width: number; readonly document: DrawingDocument | undefined },
): Drawing {
  const rows = rowsOf([...new Set(sides.map((s) => s.skater))], TOP);
  const domain = roomy(
    sides.flatMap((s) => [s.left, s.right].flatMap(({ mean: m, u95 }) => [m - u95, m + u95])),
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
function sideMarks(sides: readonly Sides[], side: Side, x: Axis, rows: SkaterRows): Plot.Markish[] {
  const shift = (side === "left" ? -0.18 : 0.18) * rows.height;
  const own = sides.map((s) => ({ ...s[side], y: rows.at(s.skater) + shift }));
  return [
    segments(
      own.map((s) => ({ x1: x.at(s.mean - s.u95), x2: x.at(s.mean + s.u95), y1: s.y, y2: s.y })),
      { strokeWidth: 1.5 },
    ),
    circles(
      own.map((s) => ({ x: x.at(s.mean), y: s.y })),
      side === "right",
      Math.min(4.2, 0.15 * rows.height),
    ),
  ];
}

function sidesLabel(
  rows: readonly Sides[],
  quantity: TrialQuantity,
  techniques: { readonly a: string; readonly b: string },
): string {
  const { name, unit } = QUANTITY_WORDS[quantity];
  const told = rows.filter((r) => Math.abs(r.left.mean - r.right.mean) > r.left.u95 + r.right.u95);
  const size = (r: Sides) => withUnit(formatNumber(Math.abs(r.left.mean - r.right.mean), 2), unit);
  const finding =
    told.length === 0
      ? `No skater’s left and right differ beyond both intervals in ${name}.`
      : `Left and right differ beyond both intervals in ${name}: ${told.map((r) => `${r.skater}, ${techniques[r.which]}, by ${size(r)}`).join("; ")}.`;
  const of = (s: OneSide) => formatReading({ value: s.mean, u95: s.u95 }, unit);
  const all = rows.map(
    (r) => `${r.skater}, ${techniques[r.which]}: left ${of(r.left)}, right ${of(r.right)}`,
  );
  return `${finding} ${all.join(". ")}.`;
}
