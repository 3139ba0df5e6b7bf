import type { SkaterJson } from "../../pool/skaterJson.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { dayText } from "../../study/lockedPlan.ts";
import { formatNumber, withUnit } from "../../uncertainty/format.ts";
import type { Figure } from "./figure.ts";
import { type SeasonPanel, seasonPlot } from "./seasonPlot.ts";

/** A skater's times evening by evening, a panel a technique; null from one evening only. */
export function seasonFigure({ quantities, studies }: SkaterJson): Figure | null {
  const times = quantities.filter((q) => q.quantity === "time_s");
  if (studies.length < 2 || !times.some((q) => q.evenings.length > 1)) return null;
  const { name, unit } = QUANTITY_WORDS.time_s;
  const panels = times.map(({ technique, evenings }): SeasonPanel => ({ technique, evenings }));
  const label = panels.map(
    ({ technique, evenings }) =>
      `${technique}: ${evenings.map((e) => `${e.date ? dayText(e.date) : e.study} ${withUnit(formatNumber(e.mean, 2), unit)}`).join(", ")}`,
  );
  return {
    name: "season-time",
    label: `Time, evening by evening. ${label.join(". ")}.`,
    key: [
      ["open", "a trial"],
      ...(panels.some((p) => p.evenings.some((e) => e.u95 !== null))
        ? ([["clear", "mean of the evening and its 95 % interval"]] as const)
        : ([["clear", "mean of the evening"]] as const)),
    ],
    note: "",
    draw: (width, document) =>
      seasonPlot(panels, studies, `${name}, ${unit}`, { width, ...(document && { document }) }),
  };
}
