import type { TrialQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { axis, roomy } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import { drawn, type Spot, segments, trialSpots, type Words, words } from "./ink.ts";
import { shortened } from "./skaterRows.ts";

/** One skater's mean of a technique: photocell time against a measure. */
export interface TimePoint {
  readonly skater: string;
  readonly which: "a" | "b";
  /** In the measure's unit. */
  readonly x: number;
  readonly time: number;
}

const [TOP, BOTTOM, HEIGHT, LEFT, RIGHT] = [28, 308, 350, 56, 70];

/**
 * Time against a measure, each skater's two technique means joined by a line (a: open square, b: filled diamond)
 * with the skater's name where there is room for it. What matters is whether the lines lean the same way.
 */
export function timeAgainstPlot(
  points: readonly TimePoint[],
  measure: TrialQuantity,
  width: number,
  document?: DrawingDocument,
): Drawing {
  const { name, unit } = QUANTITY_WORDS[measure];
  const x = axis(
    roomy(
      points.map((p) => p.x),
      0.05,
    ),
    [LEFT, width - RIGHT],
    70,
  );
  const y = axis(
    roomy(
      points.map((p) => p.time),
      0.06,
    ),
    [BOTTOM, TOP],
    40,
  );
  const of = (which: "a" | "b") =>
    points.filter((p) => p.which === which).map((p) => ({ ...p, x: x.at(p.x), y: y.at(p.time) }));
  const [a, b] = [of("a"), of("b")];
  const joined = b.flatMap((p) => {
    const other = a.find((q) => q.skater === p.skater);
    return other ? [{ x1: other.x, y1: other.y, x2: p.x, y2: p.y }] : [];
  });
  const names = namesWithRoom(b, [...a, ...b]);
  return drawn(
    [
      segments(
        y.ticks.map((t) => ({ x1: LEFT, x2: width - RIGHT, y1: t.at, y2: t.at })),
        { stroke: "var(--line)" },
      ),
      words(
        y.ticks.map((t) => ({ x: LEFT - 8, y: t.at, text: t.text })),
        { textAnchor: "end", fill: "var(--quiet)" },
      ),
      words(
        x.ticks.map((t) => ({ x: t.at, y: BOTTOM + 14, text: t.text })),
        { textAnchor: "middle", fill: "var(--quiet)" },
      ),
      words([{ x: 4, y: TOP - 16, text: "time, s" }], { textAnchor: "start" }),
      words([{ x: (LEFT + width - RIGHT) / 2, y: BOTTOM + 34, text: `${name}, ${unit}` }], {
        textAnchor: "middle",
      }),
      segments(joined, { stroke: "var(--quiet)", strokeWidth: 1.8 }),
      trialSpots(a, "a", 5.5),
      trialSpots(b, "b", 5.5),
      // The pale seam is a text of its own: not every drawing library knows the order of fill and stroke.
      ...[{ stroke: "var(--card)", fill: "none", strokeWidth: 4 }, {}].map((paint) =>
        words(names, { textAnchor: "start", fontWeight: 600, ...paint }),
      ),
    ],
    { width, height: HEIGHT, document },
  );
}

/** Names right of their symbols; one that would lie over a symbol or another name is left out. */
function namesWithRoom(of: readonly (Spot & { readonly skater: string })[], spots: readonly Spot[]): Words[] {
  const taken = spots.map((s) => ({ x1: s.x - 6, x2: s.x + 6, y1: s.y - 6, y2: s.y + 6 }));
  const shown: Words[] = [];
  for (const { skater, x, y } of of) {
    const text = shortened(skater);
    const box = { x1: x + 9, x2: x + 11 + 8 * text.length, y1: y - 8, y2: y + 8 };
    if (taken.some((t) => t.x1 < box.x2 && box.x1 < t.x2 && t.y1 < box.y2 && box.y1 < t.y2)) continue;
    taken.push(box);
    shown.push({ x: x + 11, y, text });
  }
  return shown;
}
