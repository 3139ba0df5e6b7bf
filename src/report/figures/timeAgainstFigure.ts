import type { TrialQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { mean } from "../../statistics/mean.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import { type Figure, techniquesKey } from "./figure.ts";
import { byCell, type MeasuredTrial } from "./measuredTrials.ts";
import { type TimePoint, timeAgainstPlot } from "./timeAgainstPlot.ts";

type Techniques = Readonly<Record<"a" | "b", string>>;

/** Time against a measure, skater by skater; null where nobody has both with both techniques. */
export function timeAgainstFigure(
  trials: readonly MeasuredTrial[],
  measure: TrialQuantity,
  techniques: Techniques,
): Figure | null {
  const points = pointsOf(trials, measure);
  if (points.length === 0) return null;
  const { name } = QUANTITY_WORDS[measure];
  return {
    name: `time-against-${name.replaceAll(" ", "-")}`,
    label: timeAgainstLabel(points, measure, techniques),
    key: techniquesKey(techniques),
    note: `Each skater’s two means, joined, over the trials that have both a time and a measured ${name}. Only skaters with both.`,
    draw: (width, document) => timeAgainstPlot(points, measure, width, document),
  };
}

function pointsOf(trials: readonly MeasuredTrial[], measure: TrialQuantity): TimePoint[] {
  const cells = byCell(trials).flatMap((cell): TimePoint[] => {
    const had = cell.flatMap(({ time, readings }) => {
      const value = readings.trial[measure];
      return time !== null && "mean" in value ? [{ x: value.mean, time }] : [];
    });
    const { skater, which } = cell[0]!;
    const [x, time] = [mean(had.map((t) => t.x)), mean(had.map((t) => t.time))];
    return had.length === 0 ? [] : [{ skater, which, x, time }];
  });
  return cells.filter((c) => cells.some((other) => other.skater === c.skater && other.which !== c.which));
}

/** The same picture in words. */
function timeAgainstLabel(
  points: readonly TimePoint[],
  measure: TrialQuantity,
  techniques: Techniques,
): string {
  const { name, unit } = QUANTITY_WORDS[measure];
  const rows = points.map(
    (p) =>
      `${p.skater}, ${techniques[p.which]}: ${formatNumber(p.x, 2)} ${unit}, ${formatNumber(p.time, 2)} s`,
  );
  const both = points.flatMap((b) => {
    const a = b.which === "b" && points.find((p) => p.skater === b.skater && p.which === "a");
    return a ? [(b.x - a.x) * (b.time - a.time)] : [];
  });
  const less = both.filter((v) => v < 0).length;
  return `More ${name} went with less time for ${less} of ${both.length} skaters. Time against ${name}, each skater's means. ${rows.join(". ")}.`;
}
