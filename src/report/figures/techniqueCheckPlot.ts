import * as Plot from "@observablehq/plot";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import type { Band } from "../../study/types.ts";
import type { CheckedTrial, TechniqueCheck } from "../../trials/techniqueCheck.ts";
import { formatReading } from "../../uncertainty/format.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";

interface Shown {
  readonly trial: CheckedTrial;
  readonly x: number;
  readonly mean: number;
  readonly u95: number;
}

/**
 * Every trial's mean with its 95 % interval against the bands of what was asked (a: open squares, b: filled
 * diamonds; not as asked: ringed). Skaters side by side, their trials in run order.
 */
export function techniqueCheckPlot(
  check: TechniqueCheck,
  width: number,
  document?: DrawingDocument,
): Drawing {
  const { name: quantity, unit } = QUANTITY_WORDS[check.quantity];
  const skaters = [...new Set(check.trials.map((t) => t.skater))];
  const shown = skaters.flatMap((skater, s) =>
    place(
      check.trials.filter((t) => t.skater === skater),
      s,
    ),
  );
  const bands = [
    { band: check.a.band, name: check.a.technique.name, fill: "var(--chip)", ink: "var(--quiet)" },
    { band: check.b.band, name: check.b.technique.name, fill: "var(--accent-soft)", ink: "var(--accent)" },
  ].filter((b): b is typeof b & { band: Band } => b.band !== null);
  const edges = bands.flatMap(({ band }) => [band.min, band.max]).filter((v) => v !== undefined);
  const values = [...shown.flatMap((p) => [p.mean - p.u95, p.mean + p.u95]), ...edges];
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const room = Math.max(0.15 * (most - least), 0.02);
  const [low, high] = [least - room, most + room];
  const dot = (points: readonly Shown[], which: "a" | "b") =>
    Plot.dot(points, {
      x: "x",
      y: "mean",
      symbol: which === "a" ? "square" : "diamond2",
      r: which === "a" ? 5.5 : 6.5,
      fill: which === "a" ? "var(--card)" : "var(--accent)",
      stroke: which === "a" ? "var(--ink)" : "var(--accent)",
      strokeWidth: 2,
      title: (p: Shown) => title(p, unit),
    });
  return Plot.plot({
    ...(document && { document }),
    width,
    height: 350,
    marginTop: 30,
    marginLeft: 46,
    marginBottom: 34,
    style: { fontSize: "13px", background: "none", color: "var(--ink)" },
    x: {
      domain: [-0.5, skaters.length - 0.5],
      ticks: skaters.map((_, s) => s),
      tickFormat: (s: number) => skaters[s] ?? "",
      tickSize: 0,
      label: null,
    },
    y: {
      domain: [low, high],
      label: `${quantity}, ${unit}`,
      labelArrow: "none",
      ticks: 6,
      tickSize: 0,
      grid: false,
    },
    marks: [
      Plot.rect(bands, {
        x1: -0.5,
        x2: skaters.length - 0.5,
        y1: (b) => b.band.min ?? low,
        y2: (b) => b.band.max ?? high,
        fill: "fill",
      }),
      Plot.gridY({ stroke: "var(--line)", strokeOpacity: 1, ticks: 6 }),
      ...bands.map(({ band, name, ink }) =>
        Plot.text([name], {
          x: skaters.length - 0.5,
          y: band.max === undefined ? high : band.min === undefined ? low : band.max,
          text: (n: string) => `asked: ${n}`,
          textAnchor: "end",
          dx: -8,
          dy: band.max === undefined || band.min !== undefined ? 14 : -12,
          fill: ink,
        }),
      ),
      dot(
        shown.filter((p) => p.trial.which === "a"),
        "a",
      ),
      dot(
        shown.filter((p) => p.trial.which === "b"),
        "b",
      ),
      // Over the symbols, on a pale seam where they are filled: an interval narrower than its symbol must still be seen.
      ...[
        { points: shown.filter((p) => p.trial.which === "b"), stroke: "var(--card)", strokeWidth: 4.5 },
        { points: shown, stroke: "var(--ink)", strokeWidth: 1.5 },
      ].map(({ points, ...line }) =>
        Plot.ruleX(points, {
          x: "x",
          y1: (p: Shown) => p.mean - p.u95,
          y2: (p: Shown) => p.mean + p.u95,
          ...line,
        }),
      ),
      Plot.dot(
        shown.filter((p) => p.trial.asked.answer === "no"),
        { x: "x", y: "mean", r: 12, stroke: "var(--care)", strokeWidth: 2.5 },
      ),
    ],
  });
}

/** The same picture in words. */
export function techniqueCheckLabel(check: TechniqueCheck): string {
  const { name, unit } = QUANTITY_WORDS[check.quantity];
  const rows = check.trials.map(
    (t) =>
      `${t.skater}, ${check[t.which].technique.name}, trial ${t.trial.repeat}: ${meanText(t, unit)}, as asked: ${t.asked.answer}`,
  );
  return `Each trial's mean ${name} against what was asked. ${rows.join(". ")}.`;
}

function place(trials: readonly CheckedTrial[], skater: number): Shown[] {
  const step = 0.8 / Math.max(4, trials.length);
  return trials.flatMap((trial, i) => {
    if ("why" in trial.mean) return [];
    const x = skater + (i - (trials.length - 1) / 2) * step;
    return [{ trial, x, mean: trial.mean.mean, u95: trial.mean.u95 }];
  });
}

function title(p: Shown, unit: string): string {
  return `${p.trial.skater}, trial ${p.trial.trial.repeat}: ${meanText(p.trial, unit)}; as asked: ${p.trial.asked.answer}`;
}

/** "0.267 ± 0.011 m", or why it cannot be had. */
export function meanText({ mean }: CheckedTrial, unit: string): string {
  return "why" in mean ? mean.why : formatReading({ value: mean.mean, u95: mean.u95 }, unit);
}
