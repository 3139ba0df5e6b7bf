import * as Plot from "@observablehq/plot";
import type { TrialQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";

/** One skater's mean of a technique: photocell time against a measure. */
export interface TimePoint {
  readonly skater: string;
  readonly which: "a" | "b";
  /** In the measure's unit. */
  readonly x: number;
  readonly time: number;
}

/**
 * Time against a measure, each skater's two technique means joined by a line (a: open square, b: filled diamond)
 * with the skater's name at b. What matters is whether the lines lean the same way.
 */
export function timeAgainstPlot(
  points: readonly TimePoint[],
  measure: TrialQuantity,
  width: number,
  document?: DrawingDocument,
): Drawing {
  const { name, unit } = QUANTITY_WORDS[measure];
  const dot = (which: "a" | "b") =>
    Plot.dot(
      points.filter((p) => p.which === which),
      {
        x: "x",
        y: "time",
        symbol: which === "a" ? "square" : "diamond2",
        r: which === "a" ? 5.5 : 6.5,
        fill: which === "a" ? "var(--card)" : "var(--accent)",
        stroke: which === "a" ? "var(--ink)" : "var(--accent)",
        strokeWidth: 2,
      },
    );
  return Plot.plot({
    ...(document && { document }),
    width,
    height: 330,
    marginTop: 34,
    marginLeft: 56,
    marginBottom: 42,
    marginRight: 56,
    style: { fontSize: "13px", background: "none", color: "var(--ink)", overflow: "visible" },
    x: {
      label: `${name}, ${unit}`,
      labelAnchor: "center",
      labelArrow: "none",
      nice: true,
      tickSize: 0,
      ticks: 6,
    },
    y: { label: "time, s", labelArrow: "none", nice: true, tickSize: 0, ticks: 6 },
    marks: [
      Plot.gridY({ stroke: "var(--line)", strokeOpacity: 1, ticks: 6 }),
      Plot.line(points, { x: "x", y: "time", z: "skater", stroke: "var(--quiet)", strokeWidth: 2 }),
      dot("a"),
      dot("b"),
      // The pale seam is a text of its own: not every drawing library knows the order of fill and stroke.
      ...[{ stroke: "var(--card)", fill: "none", strokeWidth: 4 }, { fill: "var(--ink)" }].map((paint) =>
        Plot.text(
          points.filter((p) => p.which === "b"),
          {
            x: "x",
            y: "time",
            text: "skater",
            dx: 11,
            textAnchor: "start",
            fontWeight: 600,
            ...paint,
          },
        ),
      ),
    ],
  });
}

/** The same picture in words. */
export function timeAgainstLabel(
  points: readonly TimePoint[],
  measure: TrialQuantity,
  techniques: Readonly<Record<"a" | "b", string>>,
): string {
  const { name, unit } = QUANTITY_WORDS[measure];
  const rows = points.map(
    (p) =>
      `${p.skater}, ${techniques[p.which]}: ${formatNumber(p.x, 2)} ${unit}, ${formatNumber(p.time, 2)} s`,
  );
  return `Time against ${name}, each skater's means. ${rows.join(". ")}.`;
}
