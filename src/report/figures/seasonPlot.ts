import type { EveningValue } from "../../pool/skaterSeason.ts";
import { dayText } from "../../study/lockedPlan.ts";
import { axis, roomy } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import { circles, drawn, segments, words } from "./ink.ts";

export interface SeasonPanel {
  readonly technique: string;
  readonly evenings: readonly EveningValue[];
}

const [TOP, BOTTOM, HEIGHT, LEFT, GAP] = [44, 226, 262, 44, 22];
/** Width of a date below the axis, px. */
const DATE = 92;

/** One panel a technique on one axis of values; evenings stand evenly, in their order. */
export function seasonPlot(
  panels: readonly SeasonPanel[],
  evenings: readonly { readonly study: string; readonly date: string | null }[],
  unit: string,
  { width, document }: { readonly width: number; readonly document?: DrawingDocument },
): Drawing {
  const y = axis(
    roomy(
      panels.flatMap((p) =>
        p.evenings.flatMap((e) => [...e.values, e.mean - (e.u95 ?? 0), e.mean + (e.u95 ?? 0)]),
      ),
      0.05,
    ),
    [BOTTOM, TOP],
    40,
  );
  const each = (width - LEFT - GAP * panels.length) / panels.length;
  const step = each / evenings.length;
  // Where dates would run into each other every second is left out, and so on.
  const every = Math.ceil(DATE / step);
  const laid = panels.map(({ technique, evenings: own }, k) => {
    const from = LEFT + GAP + k * (each + GAP);
    const at = (study: string) => from + (evenings.findIndex((e) => e.study === study) + 0.5) * step;
    return { technique, from, own: own.map((e) => ({ ...e, x: at(e.study) })) };
  });
  const all = laid.flatMap((p) => p.own);
  return drawn(
    [
      segments(
        laid.flatMap(({ from }) => y.ticks.map((t) => ({ x1: from, x2: from + each, y1: t.at, y2: t.at }))),
        { stroke: "var(--line)" },
      ),
      words(
        y.ticks.map((t) => ({ x: LEFT + 8, y: t.at, text: t.text })),
        { textAnchor: "end", fill: "var(--quiet)" },
      ),
      words([{ x: 4, y: 12, text: unit }], { textAnchor: "start", fill: "var(--quiet)" }),
      words(
        laid.map(({ technique, from }) => ({ x: from, y: TOP - 14, text: technique })),
        { textAnchor: "start", fontWeight: 600 },
      ),
      segments(
        laid.flatMap(({ own }) =>
          own.slice(1).map((e, i) => ({ x1: own[i]!.x, x2: e.x, y1: y.at(own[i]!.mean), y2: y.at(e.mean) })),
        ),
        { stroke: "var(--quiet)", strokeOpacity: 0.6 },
      ),
      segments(
        all.flatMap((e) =>
          e.u95 === null ? [] : [{ x1: e.x, x2: e.x, y1: y.at(e.mean - e.u95), y2: y.at(e.mean + e.u95) }],
        ),
        { strokeWidth: 1.6 },
      ),
      circles(
        all.flatMap((e) => e.values.map((v) => ({ x: e.x + 9, y: y.at(v) }))),
        false,
        3,
      ),
      circles(
        all.map((e) => ({ x: e.x, y: y.at(e.mean) })),
        true,
        4.5,
      ),
      words(
        laid.flatMap(({ from }) =>
          evenings.flatMap((e, k) =>
            k % every === 0
              ? [
                  {
                    x: from + (k + 0.5) * step,
                    y: BOTTOM + 18,
                    text: shortDay(e.date) ?? e.study.slice(0, 12),
                  },
                ]
              : [],
          ),
        ),
        { textAnchor: "middle", fill: "var(--quiet)", fontSize: 12 },
      ),
    ],
    { width, height: HEIGHT, document },
  );
}

/** "14 Jan 2027" */
function shortDay(date: string | null): string | null {
  return date && dayText(date).replace(/(\p{L}{3})\p{L}*/u, "$1");
}
