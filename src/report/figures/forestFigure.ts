import type { PoolJson } from "../../pool/poolJson.ts";
import { poolSaid, shownAs } from "../../pool/poolWords.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { dayText } from "../../study/lockedPlan.ts";
import { withUnit } from "../../uncertainty/format.ts";
import type { Figure } from "./figure.ts";
import { type ForestRow, forestPlot } from "./forestPlot.ts";

/** One row an evening with its interval, below them the mean of all and where new ones would lie; null without an answer. */
export function forestFigure(pool: PoolJson): Figure | null {
  const { mean_difference: all, new_study: study, new_skater: skater, quantity } = pool;
  if (all.value === null) return null;
  const shown = shownAs(pool);
  const { unit, name, less, more } = QUANTITY_WORDS[quantity];
  const said = poolSaid(pool);
  const between = ([low, high]: readonly [number, number]) => `${shown(low)} to ${shown(high)}`;
  const evenings = pool.studies.map(({ study: of, date, mean_difference: m }, k): ForestRow => {
    const { value, skaters } = said.evenings[k]!;
    return {
      kind: "evening",
      ...{ name: of, beside: `${date ? `${dayText(date)} · ` : ""}${skaters}` },
      interval: m.value === null ? null : { value: m.value, low: m.value - m.u95, high: m.value + m.u95 },
      text: m.value === null ? "no interval" : value,
    };
  });
  const mean: ForestRow = {
    ...{ kind: "all", name: "All evenings", beside: `${pool.skaters} skaters` },
    interval: { value: all.value, low: all.ci95[0], high: all.ci95[1] },
    text: `${withUnit(shown(all.value), unit)} (${between(all.ci95)})`,
  };
  const would = (rowName: string, found: typeof study | typeof skater): ForestRow[] =>
    found.value === null
      ? []
      : [
          {
            ...{ kind: "new" as const, name: rowName, beside: "" },
            interval: { value: found.value, low: found.interval95[0], high: found.interval95[1] },
            text: between(found.interval95),
          },
        ];
  const rows = [...evenings, mean, ...would("A new evening", study), ...would("A new skater", skater)];
  const axisWords = `${name}, ${unit}: ${pool.b} minus ${pool.a}`;
  return {
    name: `evenings-${name.replaceAll(" ", "-")}`,
    label: `${said.answer} ${rows.map((r) => `${r.name}: ${r.text}`).join(". ")}. In ${unit}.`,
    key: [
      ["thin", "an evening’s mean and its 95 % interval"],
      ["thick", "all evenings"],
      ...(rows.some((r) => r.kind === "new")
        ? ([["dashed", "where a new one would lie, 95 %"]] as const)
        : []),
    ],
    note: pool.studies
      .flatMap(({ study: of, mean_difference: m }) => (m.value === null ? [`${of}: ${m.why}`] : []))
      .join(" "),
    draw: (width, document) => forestPlot(rows, { axisWords, less, more }, width, document),
  };
}
