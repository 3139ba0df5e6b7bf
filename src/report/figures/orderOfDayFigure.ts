import * as Plot from "@observablehq/plot";
import type { Placed } from "../../compare/orderEffect.ts";
import type { Comparison } from "../../compare/types.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { mean } from "../../statistics/mean.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import { type Figure, techniquesKey } from "./figure.ts";
import { TECHNIQUE_MARK } from "./ink.ts";

/** One trial: its place among the skater's own of the day, and how far it lies from that skater's middle. */
interface DayPoint {
  readonly skater: string;
  readonly which: "a" | "b";
  readonly place: number;
  readonly value: number;
}

interface Drift {
  readonly slope: number;
  readonly u95: number;
  readonly middle: number;
}

/** Did the day itself make trials faster or slower? Null where no skater has three trials of the two techniques. */
export function orderOfDayFigure(c: Comparison): Figure | null {
  const points = dayPoints(c);
  if (!c.pairs.some((p) => p.nA + p.nB > 2)) return null;
  const drift = driftOf(c, points);
  const { name } = QUANTITY_WORDS[c.quantity];
  return {
    name: "order-of-the-day",
    label: orderOfDayLabel(c, points, drift),
    key: [
      ...techniquesKey(c),
      ...(drift ? [["dashed", "change common to all, ± 95 % shaded"] as const] : []),
    ],
    note: `Each skater’s own trials in the order skated; ${name} is given from the middle of that skater’s two means, so that fast and slow skaters lie together.`,
    draw: (width, document) => orderOfDayPlot(c, points, drift, { width, document }),
  };
}

function dayPoints(c: Comparison): DayPoint[] {
  return c.pairs.flatMap((p) => {
    const middle = (p.a + p.b) / 2;
    const of = (which: "a" | "b", trials: readonly Placed[]) =>
      trials.map((t) => ({ skater: p.skater, which, place: t.place, value: t.value - middle }));
    return [...of("a", p.trialsA), ...of("b", p.trialsB)].sort((x, y) => x.place - y.place);
  });
}

function driftOf({ orderEffect }: Comparison, points: readonly DayPoint[]): Drift | null {
  if (orderEffect.value === null || "why" in orderEffect.ci95) return null;
  const [low, high] = orderEffect.ci95;
  return { slope: orderEffect.value, u95: (high - low) / 2, middle: mean(points.map((p) => p.place)) };
}

function orderOfDayPlot(
  c: Comparison,
  points: readonly DayPoint[],
  drift: Drift | null,
  { width, document }: { readonly width: number; readonly document: DrawingDocument | undefined },
): Drawing {
  const { name, unit } = QUANTITY_WORDS[c.quantity];
  const last = Math.max(...points.map((p) => p.place));
  const r = points.length > 80 ? 2.6 : 5;
  const line = drift
    ? [1, last].map((place) => ({
        place,
        at: drift.slope * (place - drift.middle),
        reach: drift.u95 * Math.abs(place - drift.middle),
      }))
    : [];
  const cone = drift ? [...line.slice(0, 1), { place: drift.middle, at: 0, reach: 0 }, ...line.slice(1)] : [];
  return Plot.plot({
    ...(document && { document }),
    ...{ width, height: 300, marginTop: 30, marginLeft: 56, marginBottom: 42, marginRight: 20 },
    style: { fontSize: "13px", background: "none", color: "var(--ink)", overflow: "visible" },
    x: {
      ...{ label: "skater’s own trial of the day", labelAnchor: "center", labelArrow: "none", tickSize: 0 },
      ...{ domain: [0.6, last + 0.4], ticks: wholeTicks(last), tickFormat: (v: number) => `${v}` },
    },
    y: {
      ...{ label: `${name} from the skater’s own middle, ${unit}`, labelArrow: "none", tickSize: 0 },
      ...{ ticks: 6, nice: true },
    },
    marks: [
      Plot.areaY(cone, {
        ...{ x: "place", y1: (p: { at: number; reach: number }) => p.at - p.reach },
        ...{ y2: (p: { at: number; reach: number }) => p.at + p.reach, fill: "var(--chip)" },
      }),
      Plot.gridY({ stroke: "var(--line)", strokeOpacity: 1, ticks: 6 }),
      Plot.ruleY([0], { stroke: "var(--quiet)" }),
      Plot.line(points, {
        ...{ x: "place", y: "value", z: "skater", stroke: "var(--quiet)" },
        strokeOpacity: points.length > 80 ? 0.25 : 0.5,
      }),
      ...(["a", "b"] as const).map((which) =>
        Plot.dot(
          points.filter((p) => p.which === which),
          {
            x: "place",
            y: "value",
            r: which === "a" ? r : 1.15 * r,
            strokeWidth: 1.6,
            ...TECHNIQUE_MARK[which],
          },
        ),
      ),
      Plot.line(line, { x: "place", y: "at", stroke: "var(--ink)", strokeWidth: 2, strokeDasharray: "6 4" }),
    ],
  });
}

function wholeTicks(last: number): number[] {
  const step = last <= 12 ? 1 : last <= 30 ? 2 : 5;
  return Array.from({ length: Math.floor((last - 1) / step) + 1 }, (_, k) => 1 + k * step);
}

function orderOfDayLabel(c: Comparison, points: readonly DayPoint[], drift: Drift | null): string {
  const { name, unit, more, less } = QUANTITY_WORDS[c.quantity];
  const size = (v: number) => `${formatNumber(v, 4)} ${unit}`;
  const finding =
    drift === null
      ? "Whether trials changed through the day can’t be told."
      : Math.abs(drift.slope) > drift.u95
        ? `Trials became ${drift.slope < 0 ? less : more} through the day, by ${size(Math.abs(drift.slope))} ± ${size(drift.u95)} from one to the next.`
        : `No steady change through the day can be told: ${size(drift.slope)} ± ${size(drift.u95)} from one trial to the next.`;
  const rows = c.pairs.map((p) => {
    const own = points.filter((x) => x.skater === p.skater);
    return `${p.skater}: ${own.map((x) => `${x.place} ${c[x.which]} ${formatNumber(x.value, 3)}`).join(", ")}`;
  });
  return `${finding} ${name} from each skater's own middle, ${unit}, by the skater's own trial of the day. ${rows.join(". ")}.`;
}
