import * as Plot from "@observablehq/plot";
import { countWord } from "../../compare/numbers.ts";
import { SIDES } from "../../study/names.ts";
import type { Side } from "../../study/types.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import { axis } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import { type Figure, techniquesKey } from "./figure.ts";
import { boxes, drawn, type Segment, type Spot, segments, trialSpots, words } from "./ink.ts";
import { meanPlaces, type StridePlaces, stridePlaces } from "./meanStride.ts";
import { byCell, type MeasuredTrial } from "./measuredTrials.ts";

/** Both blades' mean places of one skater and technique, or of a technique over its skaters. */
interface Track {
  readonly which: "a" | "b";
  readonly left: StridePlaces | null;
  readonly right: StridePlaces | null;
}

/** Both techniques on one ice map; null where no trial of either shows a stride between two of the other blade. */
export function tracksFigure(
  trials: readonly MeasuredTrial[],
  techniques: { readonly a: string; readonly b: string },
): Figure | null {
  const skaters = byCell(trials)
    .map(
      (cell): Track => ({
        which: cell[0]!.which,
        left: meanPlaces(cell.flatMap((t) => stridePlaces(t.readings.strides, "left"))),
        right: meanPlaces(cell.flatMap((t) => stridePlaces(t.readings.strides, "right"))),
      }),
    )
    .filter((t) => t.left !== null || t.right !== null);
  if (skaters.length === 0) return null;
  const means = (["a", "b"] as const).flatMap((which): Track[] => {
    const own = skaters.filter((t) => t.which === which);
    const over = (side: Side) => meanPlaces(own.flatMap((t) => (t[side] ? [t[side]] : [])));
    return own.length === 0 ? [] : [{ which, left: over("left"), right: over("right") }];
  });
  const number = (which: "a" | "b") => {
    const n = skaters.filter((t) => t.which === which).length;
    return `${countWord(n)} ${n === 1 ? "skater" : "skaters"}`;
  };
  return {
    name: "tracks-on-the-ice",
    label: tracksLabel(means, techniques),
    key: [
      ...techniquesKey(techniques),
      ["dashed", "blade on the ice"],
      ["dotted", "recovering, straight between what was marked"],
    ],
    note: `Seen from above, to scale: strides laid over each other at blade-off, mean of ${number("a")} with ${techniques.a} and ${number("b")} with ${techniques.b}; small and pale, each skater’s mean. From left to right: blade-off, nearest the midline where it was marked, touchdown, the same blade’s next blade-off.`,
    draw: (width, document) => tracksPlot(skaters, means, width, document),
  };
}

/** The places of one blade as they follow each other, seen from above: left up. */
function path(places: StridePlaces | null, side: Side): Spot[] {
  if (!places) return [];
  const { off, nearest, on, nextOff } = places;
  const up = side === "left" ? 1 : -1;
  return [off, nearest, on, nextOff].flatMap((p) => (p ? [{ x: p.x, y: up * p.y }] : []));
}

function tracksPlot(
  skaters: readonly Track[],
  means: readonly Track[],
  width: number,
  document: DrawingDocument | undefined,
): Drawing {
  const all = [...skaters, ...means].flatMap((t) => SIDES.flatMap((side) => path(t[side], side)));
  const [low, high] = [Math.min(...all.map((p) => p.x)) - 0.25, Math.max(...all.map((p) => p.x)) + 0.25];
  const [left, right, top] = [74, width - 12, 12];
  const perMetre = (right - left) / (high - low);
  const reach = Math.max(...all.map((p) => Math.abs(p.y))) + 0.12;
  const bottom = top + 2 * reach * perMetre;
  const along = axis([low, high], [left, right], 60);
  const across = axis([-reach, reach], [bottom, top], 38);
  const seen = (p: Spot) => ({ x: along.at(p.x), y: across.at(p.y) });
  return drawn(
    [
      boxes([{ x1: left, x2: right, y1: top, y2: bottom }], { fill: "var(--chip)", fillOpacity: 0.35 }),
      segments(
        [
          ...along.ticks.map((t) => ({ x1: t.at, x2: t.at, y1: top, y2: bottom })),
          ...across.ticks.map((t) => ({ x1: left, x2: right, y1: t.at, y2: t.at })),
        ],
        { stroke: "var(--line)" },
      ),
      segments([{ x1: left, x2: right, y1: across.at(0), y2: across.at(0) }], {
        ...{ stroke: "var(--quiet)", strokeDasharray: "2 4", strokeWidth: 1.5 },
      }),
      words(
        along.ticks.map((t) => ({ x: t.at, y: bottom + 13, text: t.text })),
        { textAnchor: "middle", fill: "var(--quiet)" },
      ),
      words(
        across.ticks.map((t) => ({ x: left - 7, y: t.at, text: t.text })),
        { textAnchor: "end", fill: "var(--quiet)" },
      ),
      words([{ x: (left + right) / 2, y: bottom + 32, text: "along the travel from blade-off, m" }], {
        textAnchor: "middle",
      }),
      words([{ x: 12, y: (top + bottom) / 2, text: "from the midline, m" }], {
        ...{ textAnchor: "middle", rotate: -90 },
      }),
      words(
        [
          { x: along.at(0.5), y: top + 12, text: "left blade" },
          { x: along.at(0.5), y: bottom - 12, text: "right blade" },
        ],
        { textAnchor: "start", fill: "var(--quiet)" },
      ),
      ...trackMarks(skaters, means, seen),
    ],
    { width, height: bottom + 46, document },
  );
}

function trackMarks(
  skaters: readonly Track[],
  means: readonly Track[],
  seen: (p: Spot) => Spot,
): Plot.Markish[] {
  return (["a", "b"] as const).flatMap((which) => {
    const stroke = which === "a" ? "var(--ink)" : "var(--accent)";
    const own = means.filter((t) => t.which === which);
    const pale = skaters
      .filter((t) => t.which === which)
      .flatMap((t) => SIDES.flatMap((side) => path(t[side], side).map(seen)));
    return [
      Plot.dot(pale, {
        ...{ x: "x", y: "y", r: 2, stroke, strokeOpacity: 0.45, strokeWidth: 1 },
        symbol: which === "a" ? "square" : "diamond2",
      }),
      segments(
        own.flatMap((t) => SIDES.flatMap((side) => glide(t[side], side, seen))),
        {
          ...{ stroke, strokeWidth: 2.4, strokeDasharray: "7 3" },
        },
      ),
      segments(
        own.flatMap((t) => SIDES.flatMap((side) => air(t[side], side, seen))),
        {
          ...{ stroke, strokeWidth: 1.6, strokeDasharray: "1.5 3" },
        },
      ),
      trialSpots(
        own.flatMap((t) => SIDES.flatMap((side) => path(t[side], side).map(seen))),
        which,
        5.5,
      ),
    ];
  });
}

function between(points: readonly Spot[]): Segment[] {
  return points.slice(1).map((p, k) => ({ x1: points[k]!.x, y1: points[k]!.y, x2: p.x, y2: p.y }));
}

function air(places: StridePlaces | null, side: Side, seen: (p: Spot) => Spot): Segment[] {
  if (!places?.on) return [];
  return between(path({ ...places, nextOff: null }, side).map(seen));
}

function glide(places: StridePlaces | null, side: Side, seen: (p: Spot) => Spot): Segment[] {
  if (!places?.on || !places.nextOff) return [];
  return between(path({ ...places, off: places.on, nearest: null, on: null }, side).map(seen));
}

function tracksLabel(
  means: readonly Track[],
  techniques: { readonly a: string; readonly b: string },
): string {
  const size = (v: number) => `${formatNumber(v, 2)} m`;
  const said = means.flatMap((t) =>
    SIDES.flatMap((side) => {
      const places = t[side];
      if (!places) return [];
      const parts = [
        `blade-off ${size(places.off.y)}`,
        ...(places.nearest ? [`nearest ${size(places.nearest.y)}`] : []),
        ...(places.on ? [`touchdown ${size(places.on.y)}`] : []),
      ];
      return [`${techniques[t.which]}, ${side} blade: ${parts.join(", ")}`];
    }),
  );
  return `${apart(means, techniques)} How far from the midline each blade is, seen from above. ${said.join(". ")}.`;
}

/** "With open recovery the blade comes down 0.23 m farther out than with close recovery." */
function apart(means: readonly Track[], techniques: { readonly a: string; readonly b: string }): string {
  const out = (which: "a" | "b") => {
    const track = means.find((t) => t.which === which);
    const had = SIDES.flatMap((side) => (track?.[side]?.on ? [track[side].on.y] : []));
    return had.length === 2 ? (had[0]! + had[1]!) / 2 : null;
  };
  const [a, b] = [out("a"), out("b")];
  if (a === null || b === null) return "Only one technique shows both touchdowns.";
  return `With ${techniques.b} the blade comes down ${formatNumber(Math.abs(b - a), 2)} m ${b > a ? "farther out" : "closer in"} than with ${techniques.a}.`;
}
