import * as Plot from "@observablehq/plot";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import type { Band } from "../../study/types.ts";
import type { CheckedTrial, TechniqueCheck } from "../../trials/techniqueCheck.ts";
import { type Axis, axis, roomy } from "./axis.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";
import { boxes, drawn, type Spot, segments, trialSpots, words } from "./ink.ts";
import { nameColumn, nameMarks, rowsOf, type SkaterRows } from "./skaterRows.ts";

interface Shown extends Spot {
  readonly trial: CheckedTrial;
  readonly from: number;
  readonly to: number;
}

interface AskedBand {
  readonly band: Band;
  readonly name: string;
  readonly which: "a" | "b";
}

const TOP = 34;
const FOOT = 44;
/** Height of a band's name, and mean width of a letter of it. */
const LETTERS = 13;
const LETTER = 0.57;

/**
 * Every trial's mean with its 95 % interval against the bands of what was asked (a: open squares, b: filled
 * diamonds; not as asked: ringed). A row a skater, the trials in it in run order.
 */
export function techniqueCheckPlot(
  check: TechniqueCheck,
  width: number,
  document?: DrawingDocument,
): Drawing {
  const had = check.trials.filter((t) => "mean" in t.mean);
  const rows = rowsOf([...new Set(had.map((t) => t.skater))], TOP);
  const bands = askedBands(check);
  const x = axis(domainOf(had, bands), [nameColumn(rows), width - 10], 60);
  const most = Math.max(...rows.names.map((skater) => had.filter((t) => t.skater === skater).length));
  const shown = rows.names.flatMap((skater) =>
    placed(
      had.filter((t) => t.skater === skater),
      { x, y: rows.at(skater), rowHeight: rows.height },
    ),
  );
  return drawn(
    [
      ...bandMarks(bands, x, rows),
      ...axisMarks(check, x, rows),
      ...nameMarks(rows, width),
      ...trialMarks(shown, Math.min(5, 0.2 * rows.height, 2 + (0.5 * rows.height) / most)),
    ],
    { width, height: rows.bottom + FOOT, document },
  );
}

function askedBands({ a, b }: TechniqueCheck): AskedBand[] {
  return [["a", a] as const, ["b", b] as const].flatMap(([which, { band, technique }]) =>
    band ? [{ band, which, name: technique.name }] : [],
  );
}

function domainOf(trials: readonly CheckedTrial[], bands: readonly AskedBand[]): [low: number, high: number] {
  const edges = bands.flatMap(({ band }) => [band.min, band.max]).filter((v) => v !== undefined);
  const ends = trials.flatMap(({ mean }) =>
    "mean" in mean ? [mean.mean - mean.u95, mean.mean + mean.u95] : [],
  );
  return roomy([...ends, ...edges], 0.1);
}

/** A skater's trials one below the other in the row. */
function placed(
  trials: readonly CheckedTrial[],
  { x, y, rowHeight }: { readonly x: Axis; readonly y: number; readonly rowHeight: number },
): Shown[] {
  const apart = trials.length < 2 ? 0 : Math.min(9, (0.5 * rowHeight) / (trials.length - 1));
  return trials.flatMap((trial, i) => {
    if ("why" in trial.mean) return [];
    const { mean, u95 } = trial.mean;
    return [
      {
        ...{ trial, x: x.at(mean), y: y + (i - (trials.length - 1) / 2) * apart },
        ...{ from: x.at(mean - u95), to: x.at(mean + u95) },
      },
    ];
  });
}

/** The bands, with their names above them and their edges drawn, so that they show in grey too. */
function bandMarks(bands: readonly AskedBand[], x: Axis, { top, bottom }: SkaterRows): Plot.Markish[] {
  const [low, high] = x.range;
  const label = (name: string) => `asked: ${name}`;
  const wide = bands.reduce((sum, { name }) => sum + LETTER * LETTERS * label(name).length, 0);
  // Side by side where the bands are far enough apart for both names, else one above the other.
  const step = wide + 10 < apartOf(bands, x) ? 0 : 14;
  return bands.flatMap((asked) => {
    const { band, name, which } = asked;
    const { atEnd, at } = nameAt(asked, x);
    const [x1, x2] = [
      band.min === undefined ? low : x.at(band.min),
      band.max === undefined ? high : x.at(band.max),
    ];
    const edges = [band.min === undefined ? [] : [x1], band.max === undefined ? [] : [x2]].flat();
    return [
      boxes([{ x1, x2, y1: top, y2: bottom }], {
        fill: which === "a" ? "var(--chip)" : "var(--accent-soft)",
      }),
      segments(
        edges.map((at) => ({ x1: at, x2: at, y1: top, y2: bottom })),
        { stroke: "var(--quiet)", strokeDasharray: which === "a" ? "4 3" : "" },
      ),
      words([{ x: at, y: top - 10 - (which === "a" ? 0 : step), text: label(name) }], {
        textAnchor: atEnd ? "end" : "start",
        fill: which === "a" ? "var(--quiet)" : "var(--accent)",
      }),
    ];
  });
}

/** Over the half that is the band's own, so that two names hardly ever meet. */
function nameAt({ band: { min, max }, which }: AskedBand, x: Axis) {
  const [low, high] = x.range;
  const atEnd = max === undefined || (min !== undefined && which === "b");
  const [x1, x2] = [min === undefined ? low : x.at(min), max === undefined ? high : x.at(max)];
  return { atEnd, at: atEnd ? x2 : x1 };
}

/** Px from where one band's name starts to where the other's ends; 0 where both start, or both end. */
function apartOf(bands: readonly AskedBand[], x: Axis): number {
  if (bands.length < 2) return Number.POSITIVE_INFINITY;
  const names = bands.map((band) => nameAt(band, x));
  const [start, end] = [names.find((n) => !n.atEnd), names.find((n) => n.atEnd)];
  return start && end ? end.at - start.at : 0;
}

function axisMarks(check: TechniqueCheck, x: Axis, { top, bottom }: SkaterRows): Plot.Markish[] {
  const { name, unit } = QUANTITY_WORDS[check.quantity];
  const [from, to] = x.range;
  return [
    segments(
      x.ticks.map((t) => ({ x1: t.at, x2: t.at, y1: top, y2: bottom })),
      { stroke: "var(--line)" },
    ),
    words(
      x.ticks.map((t) => ({ x: t.at, y: bottom + 13, text: t.text })),
      { textAnchor: "middle", fill: "var(--quiet)" },
    ),
    words([{ x: (from + to) / 2, y: bottom + 32, text: `${name}, ${unit}` }], { textAnchor: "middle" }),
  ];
}

function trialMarks(shown: readonly Shown[], r: number): Plot.Markish[] {
  const of = (which: "a" | "b") => shown.filter((p) => p.trial.which === which);
  const line = (p: Shown) => ({ x1: p.from, x2: p.to, y1: p.y, y2: p.y });
  // One that reaches beyond its symbol lies under it; narrower, it must still be seen: over it, on a pale seam where that is filled.
  const isNarrow = (p: Shown) => p.to - p.from < 4 * r;
  return [
    Plot.dot(
      shown.filter((p) => p.trial.asked.answer === "no"),
      { x: "x", y: "y", r: r + 4.5, stroke: "var(--care)", strokeWidth: 2.5 },
    ),
    segments(shown.filter((p) => !isNarrow(p)).map(line), { strokeWidth: 1.5 }),
    trialSpots(of("a"), "a", r),
    trialSpots(of("b"), "b", r),
    segments(of("b").filter(isNarrow).map(line), { stroke: "var(--card)", strokeWidth: 3.6 }),
    segments(shown.filter(isNarrow).map(line), { strokeWidth: 1.5 }),
  ];
}
