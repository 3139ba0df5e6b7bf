import * as Plot from "@observablehq/plot";
import type { StrideQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { mean } from "../../statistics/mean.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import { type Axis, axis, roomy } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import { type Figure, techniquesKey } from "./figure.ts";
import { drawn, segments, TECHNIQUE_MARK, words } from "./ink.ts";
import { byCell, type MeasuredTrial } from "./measuredTrials.ts";

const SHOWN = ["stride_width_m", "touchdown_to_track_midline_m"] as const satisfies readonly StrideQuantity[];
type Shown = (typeof SHOWN)[number];

interface StridePoint {
  readonly which: "a" | "b";
  readonly quantity: Shown;
  readonly stride: number;
  /** Place of blade-off (of the width) or of touchdown along the lane, m. */
  readonly x: number;
  readonly value: number;
}

/** More dots than that are a cloud: then each skater's mean of a stride number stands for its trials. */
const MOST = 700;

/** Every stride's width and touchdown along the lane; null where none has a place. */
export function stridesFigure(
  trials: readonly MeasuredTrial[],
  techniques: { readonly a: string; readonly b: string },
): Figure | null {
  const every = trials.flatMap(pointsOf);
  if (every.length === 0) return null;
  const many = every.length > MOST;
  const points = many ? byCell(trials).flatMap((cell) => byStride(cell.flatMap(pointsOf))) : every;
  return {
    name: "strides-along-the-lane",
    label: stridesLabel(every, techniques),
    key: [
      ...techniquesKey(techniques),
      ["dashed", `mean of each stride number, ${techniques.a}`],
      ["line", `the same, ${techniques.b}`],
    ],
    note: many
      ? `Each dot is one skater’s mean of a stride number; the ${every.length} values of single strides are in the tables.`
      : "Each dot is one stride, left and right together.",
    draw: (width, document) => stridesPlot(points, width, document),
  };
}

function pointsOf({ which, readings }: MeasuredTrial): StridePoint[] {
  return readings.strides.flatMap((s) =>
    SHOWN.flatMap((quantity): StridePoint[] => {
      const { value } = s.readings[quantity];
      const place = quantity === "stride_width_m" ? s.off : s.on;
      return value === null || !place ? [] : [{ which, quantity, stride: s.stride, x: place.x, value }];
    }),
  );
}

function byStride(points: readonly StridePoint[]): StridePoint[] {
  return SHOWN.flatMap((quantity) =>
    (["a", "b"] as const).flatMap((which) => {
      const own = points.filter((p) => p.quantity === quantity && p.which === which);
      return [...new Set(own.map((p) => p.stride))]
        .sort((x, y) => x - y)
        .map((stride) => {
          const same = own.filter((p) => p.stride === stride);
          return {
            ...{ which, quantity, stride, x: mean(same.map((p) => p.x)) },
            value: mean(same.map((p) => p.value)),
          };
        });
    }),
  );
}

const [LEFT, RIGHT, TOP, PANEL, BETWEEN, FOOT] = [52, 16, 26, 140, 34, 46];

function stridesPlot(
  points: readonly StridePoint[],
  width: number,
  document: DrawingDocument | undefined,
): Drawing {
  const shown = SHOWN.filter((q) => points.some((p) => p.quantity === q));
  const along = axis(
    roomy(
      points.map((p) => p.x),
      0.03,
    ),
    [LEFT, width - RIGHT],
    70,
  );
  const bottom = TOP + shown.length * PANEL + (shown.length - 1) * BETWEEN;
  const r = points.length > 250 ? 2.2 : 3.2;
  return drawn(
    [
      ...shown.flatMap((quantity, k) => {
        const top = TOP + k * (PANEL + BETWEEN);
        const own = points.filter((p) => p.quantity === quantity);
        const values = own.map((p) => p.value);
        const y = axis(roomy(values, 0.08), [top + PANEL, top], 32);
        return [...panelMarks(quantity, along, y), ...strideMarks(own, along, y, r)];
      }),
      words(
        along.ticks.map((t) => ({ x: t.at, y: bottom + 14, text: t.text })),
        { textAnchor: "middle", fill: "var(--quiet)" },
      ),
      words(
        [{ x: (LEFT + width - RIGHT) / 2, y: bottom + 34, text: "along the lane from the start line, m" }],
        {
          textAnchor: "middle",
        },
      ),
    ],
    { width, height: bottom + FOOT, document },
  );
}

function panelMarks(quantity: Shown, { range: [from, to] }: Axis, y: Axis): Plot.Markish[] {
  const { name, unit } = QUANTITY_WORDS[quantity];
  return [
    segments(
      y.ticks.map((t) => ({ x1: from, x2: to, y1: t.at, y2: t.at })),
      { stroke: "var(--line)" },
    ),
    words(
      y.ticks.map((t) => ({ x: from - 8, y: t.at, text: t.text })),
      { textAnchor: "end", fill: "var(--quiet)" },
    ),
    words([{ x: from, y: y.range[1] - 13, text: `${name}, ${unit}` }], {
      ...{ textAnchor: "start", fontWeight: 600 },
    }),
  ];
}

function strideMarks(points: readonly StridePoint[], x: Axis, y: Axis, r: number): Plot.Markish[] {
  const seen = (p: StridePoint) => ({ x: x.at(p.x), y: y.at(p.value) });
  const each = (["a", "b"] as const).map((which) => points.filter((p) => p.which === which));
  return [
    ...each.map((own, k) =>
      Plot.dot(own.map(seen), {
        ...{ x: "x", y: "y", ...TECHNIQUE_MARK[k === 0 ? "a" : "b"], r: k === 0 ? r : 1.15 * r },
        ...{ strokeWidth: 1, opacity: 0.75 },
      }),
    ),
    ...each.map((own, k) =>
      Plot.line(byStride(own).map(seen), {
        ...{ x: "x", y: "y", strokeWidth: 3, stroke: k === 0 ? "var(--ink)" : "var(--accent)" },
        strokeDasharray: k === 0 ? "7 4" : "",
      }),
    ),
  ];
}

function stridesLabel(
  points: readonly StridePoint[],
  techniques: { readonly a: string; readonly b: string },
): string {
  const said = SHOWN.flatMap((quantity) => {
    const { name, unit } = QUANTITY_WORDS[quantity];
    const of = (["a", "b"] as const).flatMap((which) => {
      const own = points.filter((p) => p.which === which && p.quantity === quantity);
      const size = () => formatNumber(mean(own.map((p) => p.value)), 2);
      return own.length === 0 ? [] : [`${techniques[which]} ${size()} ${unit} over ${own.length} strides`];
    });
    return of.length === 0 ? [] : [`Mean ${name}: ${of.join(", ")}`];
  });
  const end = byStride(points).map(
    (p) =>
      `${techniques[p.which]}, stride ${p.stride} at ${formatNumber(p.x, 1)} m: ${QUANTITY_WORDS[p.quantity].name} ${formatNumber(p.value, 2)}`,
  );
  return `${said.join(". ")}. Along the lane, means of each stride number. ${end.join(". ")}.`;
}
