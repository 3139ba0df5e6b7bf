import { placesOf } from "../compare/numbers.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { formatNumber, withUnit } from "../uncertainty/format.ts";
import type { PoolJson } from "./poolJson.ts";

/** What several evenings say, a sentence or row a line, for somebody at the bench. */
export function poolWords(pool: PoolJson): string[] {
  const { unit, name } = QUANTITY_WORDS[pool.quantity];
  const places = placesOf(
    pool.studies.flatMap(({ mean_difference: m }) => (m.value === null ? [] : [m.value])),
    unit,
    3,
  );
  const shown = (value: number) => formatNumber(value, places);
  const of = (value: number) => withUnit(shown(value), unit);
  const rows = pool.studies.map(({ study, date, n, mean_difference: m }) => {
    const many = n === 1 ? "1 skater" : `${n} skaters`;
    const value = m.value === null ? m.why : `${of(m.value)} ± ${shown(m.u95)}`;
    return `  ${date ? `${date}  ` : ""}${study}: ${value} (${many})`;
  });
  const mean = pool.mean_difference;
  if (mean.value === null) return [mean.why, ...rows, ...pool.warnings.map((w) => w.text)];
  const [low, high] = mean.ci95;
  const lines = [
    `${name}, ${pool.b} minus ${pool.a}: ${of(mean.value)}, 95 % from ${shown(low)} to ${of(high)} (${pool.skaters} skaters, ${pool.studies.length} evenings). ${saidOf(pool, of, shown)}`,
    ...rows,
  ];
  if (typeof pool.sd_between_studies === "number" && typeof pool.sd_between_skaters === "number")
    lines.push(
      `Evenings differ by ${of(pool.sd_between_studies)} (SD); skaters within an evening, with their own repeats, by ${of(pool.sd_between_skaters)}.${
        pool.sd_between_studies === 0 ? " The evenings agree as well as their few skaters can tell." : ""
      }`,
    );
  const range = (name: string, found: PoolJson["new_skater"] | PoolJson["new_study"]) =>
    lines.push(
      found.value === null
        ? `${name}: ${found.why}`
        : `${name} would lie between ${shown(found.interval95[0])} and ${of(found.interval95[1])} (95 %).`,
    );
  range("A new skater on a new evening", pool.new_skater);
  range("The mean of a new evening", pool.new_study);
  for (const left of pool.leave_one_out)
    lines.push(
      left.value === null
        ? `  without ${left.without}: ${left.why}`
        : `  without ${left.without}: ${of(left.value)}, from ${shown(left.ci95[0])} to ${shown(left.ci95[1])}`,
    );
  return [...lines, ...pool.warnings.map((w) => w.text)];
}

/** What the conclusion rests on, in a sentence. */
function saidOf(pool: PoolJson, of: (v: number) => string, shown: (v: number) => string): string {
  const { conclusion, order, looks, looks_interval: interval } = pool;
  const many =
    looks > 1 && interval
      ? `Looked at ${looks} times by plan, so it is judged by ${shown(interval[0])} to ${of(interval[1])}. `
      : "";
  if (conclusion === "settled") {
    // Armitage, McPherson & Rowe (1969), J R Stat Soc A 132(2), 235-244 [memory]: repeated looks at growing data.
    const price =
      looks === 1
        ? " That holds for one look, at evenings planned beforehand: looking after each and stopping when it pleases finds a difference more often where there is none (--looks)."
        : "";
    return `${many}Chance alone does not explain it.${price}`;
  }
  if (conclusion === "open") return `${many}No difference at all would fit as well.`;
  const when = (order?.b_later_by ?? 0) > 0 ? "later" : "earlier";
  if (order?.kind === "one-sided")
    return `But ${pool.b} was always skated ${when}, and nothing parts it from the order.`;
  const left = order?.without_steady_change;
  return left && left.value !== null
    ? `But ${pool.b} was skated ${when} on average; without a steady change through the evenings it is ${of(left.value)} ± ${shown(left.u95)}.`
    : `But ${pool.b} was skated ${when} on average, and nothing tells how times change through an evening.`;
}
