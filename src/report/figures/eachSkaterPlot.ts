import * as Plot from "@observablehq/plot";
import { differenceText } from "../../compare/numberRows.ts";
import { placesOf } from "../../compare/numbers.ts";
import type { Comparison, Pair } from "../../compare/types.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { formatNumber, withUnit } from "../../uncertainty/format.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";

/** What stands beside a skater's difference: "faster", "too small to matter", "can't tell". */
export function pairWords(pair: Pair): string {
  if (pair.verdict !== "can't tell") return pair.verdict;
  return pair.settles === "not worth it" ? "too small to matter" : "can’t tell";
}

/** Good is faster; slower and undecided call for care; more or less of a measure is neither good nor bad. */
export function verdictColour({ verdict }: Pair): "good" | "care" | "ink" {
  if (verdict === "faster") return "good";
  return verdict === "more" || verdict === "less" ? "ink" : "care";
}

/** Longer names would leave the drawing no room; the words beside it have them in full. */
const LONGEST_NAME = 22;
/** Mean width of a letter of a name. */
const NAME_PX = 9;

function shortened(name: string): string {
  return name.length <= LONGEST_NAME ? name : `${name.slice(0, LONGEST_NAME - 1).trimEnd()}…`;
}

/** An upright stroke: the ends of an interval. Line markers are left out by many programs that read SVG. */
const STROKE: Plot.VectorShapeImplementation = {
  draw(context, length) {
    context.moveTo(0, 0);
    context.lineTo(0, -length);
  },
};

/**
 * One row a skater: the mean with each technique (a: open square, b: filled diamond) and the difference. The
 * shaded band around a is what is too small to be worth it.
 */
export function eachSkaterPlot(c: Comparison, width: number, document?: DrawingDocument): Drawing {
  const { name, unit } = QUANTITY_WORDS[c.quantity];
  const places = placesOf(
    c.pairs.flatMap((p) => [p.a, p.b]),
    unit,
  );
  const value = (v: number) => formatNumber(v, places);
  const band = c.smallestWorthwhile.value;
  const left = Math.max(92, 14 + NAME_PX * Math.max(...c.pairs.map((p) => shortened(p.skater).length)));
  const byB = (p: Pair) => (p.b <= p.a ? "end" : "start");
  return Plot.plot({
    ...(document && { document }),
    width,
    height: 58 + 62 * c.pairs.length,
    marginLeft: left,
    marginRight: 214,
    marginTop: 12,
    marginBottom: 44,
    style: { fontSize: "13px", background: "none", color: "var(--ink)", overflow: "visible" },
    x: {
      domain: eachSkaterDomain(c),
      label: `${name}, ${unit}`,
      labelAnchor: "center",
      labelArrow: "none",
      ticks: 6,
      tickSize: 0,
    },
    y: { domain: c.pairs.map((p) => p.skater), padding: 0.3, axis: null, type: "band" },
    marks: [
      Plot.gridX({ stroke: "var(--line)", strokeOpacity: 1, ticks: 6 }),
      ...(band === null
        ? []
        : [
            Plot.barX(c.pairs, {
              x1: (p: Pair) => p.a - band,
              x2: (p: Pair) => p.a + band,
              y: "skater",
              fill: "var(--chip)",
              rx: 4,
            }),
          ]),
      Plot.link(c.pairs, {
        x1: "a",
        x2: "b",
        y: "skater",
        stroke: "var(--quiet)",
        strokeOpacity: 0.55,
        strokeWidth: 4,
      }),
      Plot.dot(c.pairs, {
        x: "a",
        y: "skater",
        symbol: "square",
        r: 8,
        fill: "var(--card)",
        stroke: "var(--ink)",
        strokeWidth: 2.5,
      }),
      Plot.dot(c.pairs, { x: "b", y: "skater", symbol: "diamond2", r: 8.5, fill: "var(--accent)" }),
      Plot.ruleY(
        c.pairs.filter((p) => p.u95.value !== null),
        {
          x1: (p: Pair) => reach(p)[0],
          x2: (p: Pair) => reach(p)[1],
          y: "skater",
          dy: 17,
          stroke: "var(--ink)",
          strokeWidth: 1.5,
        },
      ),
      ...([0, 1] as const).map((end) =>
        Plot.vector(
          c.pairs.filter((p) => p.u95.value !== null),
          {
            x: (p: Pair) => reach(p)[end],
            y: "skater",
            dy: 17,
            length: 8,
            anchor: "middle",
            shape: STROKE,
            stroke: "var(--ink)",
            strokeWidth: 1.5,
          },
        ),
      ),
      ...(["end", "start"] as const).flatMap((side) => {
        const away = side === "end" ? -14 : 14;
        const pairs = c.pairs.filter((p) => byB(p) === side);
        return [
          Plot.text(pairs, {
            x: "b",
            y: "skater",
            text: (p: Pair) => value(p.b),
            dx: away,
            dy: -15,
            textAnchor: side,
            fill: "var(--accent)",
            fontWeight: 600,
          }),
          Plot.text(pairs, {
            x: "a",
            y: "skater",
            text: (p: Pair) => value(p.a),
            dx: -away,
            dy: -15,
            textAnchor: side === "end" ? "start" : "end",
            fill: "var(--ink)",
          }),
        ];
      }),
      Plot.text(c.pairs, {
        y: "skater",
        frameAnchor: "left",
        dx: 4 - left,
        textAnchor: "start",
        text: (p: Pair) => shortened(p.skater),
        fontSize: 15,
        fontWeight: 600,
        fill: "var(--ink)",
      }),
      ...(["good", "care", "ink"] as const).map((colour) =>
        Plot.text(
          c.pairs.filter((p) => verdictColour(p) === colour),
          {
            y: "skater",
            frameAnchor: "right",
            dx: 208,
            textAnchor: "end",
            fontSize: 14,
            fontWeight: 600,
            text: (p: Pair) => `${differenceText(p.difference, p.u95, unit)}  ${pairWords(p)}`,
            fill: `var(--${colour})`,
          },
        ),
      ),
    ],
  });
}

/** From where to where the picture reaches: every mean, band and interval with some room, never of no width. */
export function eachSkaterDomain(c: Comparison): [low: number, high: number] {
  const band = c.smallestWorthwhile.value ?? 0;
  const ends = c.pairs.flatMap((p) => [p.a - band, p.a + band, ...reach(p)]);
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const room = 0.12 * (high - low || 0.1);
  return [low - room, high + room];
}

/** The 95 % interval of the difference, laid off from mean a, so around mean b: it clears the band where the difference is worth it. */
function reach(p: Pair): [number, number] {
  const u95 = p.u95.value ?? 0;
  return [p.b - u95, p.b + u95];
}

/** The same picture in words. */
export function eachSkaterLabel(c: Comparison): string {
  const { name, unit } = QUANTITY_WORDS[c.quantity];
  const places = placesOf(
    c.pairs.flatMap((p) => [p.a, p.b]),
    unit,
  );
  const rows = c.pairs.map(
    (p) =>
      `${p.skater}: ${c.a} ${withUnit(formatNumber(p.a, places), unit)}, ${c.b} ${withUnit(formatNumber(p.b, places), unit)}, difference ${differenceText(p.difference, p.u95, unit)}, ${pairWords(p)}`,
  );
  return `Each skater's mean ${name}. ${rows.join(". ")}.`;
}
