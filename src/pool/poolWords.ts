import { listed, placesOf } from "../compare/numbers.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { formatNumber, withUnit } from "../uncertainty/format.ts";
import type { PoolJson } from "./poolJson.ts";

/** What several evenings say, for somebody at the bench; the same in the window and on the command line. */
export interface PoolSaid {
  /** The answer, or why there is none. */
  readonly answer: string;
  /** Whether chance explains it, and what that holds for; blank without an answer. */
  readonly conclusion: string;
  /** Of each evening, in the order of `studies`: its mean difference ± or why it has none, and its skaters. */
  readonly evenings: readonly { readonly value: string; readonly skaters: string }[];
  /** How evenings and skaters differ, what new ones would show, what leaving one evening out does. */
  readonly further: readonly string[];
  /** Of each evening left out: what the others say. */
  readonly without: readonly { readonly study: string; readonly value: string }[];
  /** Who is left out, and whose code is somebody else's too. */
  readonly warnings: readonly string[];
}

export function poolSaid(pool: PoolJson): PoolSaid {
  const { unit, name } = QUANTITY_WORDS[pool.quantity];
  const shown = shownAs(pool);
  const of = (value: number) => withUnit(shown(value), unit);
  const evenings = pool.studies.map(({ n, mean_difference: m }) => ({
    value: m.value === null ? m.why : `${of(m.value)} ± ${shown(m.u95)}`,
    skaters: n === 1 ? "1 skater" : `${n} skaters`,
  }));
  const warnings = pool.warnings.map((w) => w.text);
  const mean = pool.mean_difference;
  if (mean.value === null)
    return { answer: mean.why, conclusion: "", evenings, further: [], without: [], warnings };
  const [low, high] = mean.ci95;
  const answer = `${name}, ${pool.b} minus ${pool.a}: ${of(mean.value)}, 95 % from ${shown(low)} to ${of(high)} (${pool.skaters} skaters, ${pool.studies.length} evenings).`;
  const conclusion = saidOf(pool, of, shown);
  const further: string[] = [];
  if (typeof pool.sd_between_studies === "number" && typeof pool.sd_between_skaters === "number")
    further.push(
      `Evenings differ by ${of(pool.sd_between_studies)} (SD); skaters within an evening, with their own repeats, by ${of(pool.sd_between_skaters)}.${
        of(pool.sd_between_studies) === of(0)
          ? " The evenings agree as well as their few skaters can tell."
          : ""
      }`,
    );
  const range = (of95: string, found: PoolJson["new_skater"] | PoolJson["new_study"]) =>
    further.push(
      found.value === null
        ? `${of95}: ${found.why}`
        : `${of95} would lie between ${shown(found.interval95[0])} and ${of(found.interval95[1])} (95 %).`,
    );
  range("A new skater on a new evening", pool.new_skater);
  range("The mean of a new evening", pool.new_study);
  const left = leftOutWords(pool, of, shown);
  if (left) further.push(left);
  const without = pool.leave_one_out.map((rest) => ({
    study: rest.without,
    value:
      rest.value === null
        ? rest.why
        : `${of(rest.value)}, from ${shown(rest.ci95[0])} to ${shown(rest.ci95[1])}`,
  }));
  return { answer, conclusion, evenings, further, without, warnings };
}

/** The same, a sentence or row a line. */
export function poolWords(pool: PoolJson): string[] {
  const { answer, conclusion, evenings, further, without, warnings } = poolSaid(pool);
  const rows = pool.studies.map(({ study, date }, k) => {
    const { value, skaters } = evenings[k]!;
    return `  ${date ? `${date}  ` : ""}${study}: ${value} (${skaters})`;
  });
  const left = without.map(({ study, value }) => `  without ${study}: ${value}`);
  return [conclusion === "" ? answer : `${answer} ${conclusion}`, ...rows, ...further, ...left, ...warnings];
}

/** Numbers of a pooled answer, all to as many places. */
export function shownAs(pool: PoolJson): (value: number) => string {
  const values = pool.studies.flatMap(({ mean_difference: m }) => (m.value === null ? [] : [m.value]));
  const places = placesOf(values, QUANTITY_WORDS[pool.quantity].unit, 3);
  return (value) => formatNumber(value, places);
}

/** Whether one evening alone carries the answer. */
function leftOutWords(
  pool: PoolJson,
  of: (v: number) => string,
  shown: (v: number) => string,
): string | null {
  const known = pool.leave_one_out.flatMap((rest) =>
    rest.value === null ? [] : [{ without: rest.without, value: rest.value, ci95: rest.ci95 }],
  );
  if (known.length === 0) return null;
  const sorted = [...known].sort((x, y) => x.value - y.value);
  const [least, most] = [sorted[0]!, sorted.at(-1)!];
  const between = `Whichever evening is left out, the mean stays between ${shown(least.value)} (without ${least.without}) and ${of(most.value)} (without ${most.without})`;
  if (pool.conclusion !== "settled") return `${between}.`;
  const open = known.filter(({ ci95: [low, high] }) => low <= 0 && high >= 0).map((k) => k.without);
  if (open.length === 0) return `${between}, and its 95 % interval stays clear of zero each time.`;
  const which =
    open.length <= 3 ? `without ${listed(open, "or")}` : `in ${open.length} of ${known.length} cases`;
  return `${between}; but ${which} the interval reaches zero.`;
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
        ? " That holds for one look, at evenings planned beforehand: looking after each and stopping when it pleases finds a difference more often where there is none. Say how many looks are planned, and they are allowed for."
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
