import { countOf } from "../../compare/numbers.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import type { CheckedTrial, TechniqueCheck } from "../../trials/techniqueCheck.ts";
import { formatReading } from "../../uncertainty/format.ts";
import { capital } from "../../words.ts";
import { type Figure, techniquesKey } from "./figure.ts";
import { techniqueCheckPlot } from "./techniqueCheckPlot.ts";

/** Every trial against what was asked; null where none is measured. */
export function techniqueCheckFigure(check: TechniqueCheck): Figure | null {
  const measured = check.trials.filter((t) => "mean" in t.mean).length;
  if (measured === 0) return null;
  const { a, b, trials } = check;
  const wrong = trials.some((t) => t.asked.answer === "no");
  const unmeasured = trials.length - measured;
  return {
    name: "as-asked",
    label: techniqueCheckLabel(check),
    key: [
      ...techniquesKey({ a: a.technique.name, b: b.technique.name }),
      ["thin", "95 % interval"],
      ...(wrong ? [["ring", "not as asked"] as const] : []),
    ],
    note: [
      "Each symbol is a trial’s mean over its strides.",
      ...(a.band || b.band ? [] : ["Plan has no band for either technique."]),
      ...(unmeasured > 0
        ? [`${capital(countOf(unmeasured, trials.length))} trials can’t be shown: no measure of them counts.`]
        : []),
    ].join(" "),
    draw: (width, document) => techniqueCheckPlot(check, width, document),
  };
}

/** The same picture in words. */
export function techniqueCheckLabel(check: TechniqueCheck): string {
  const { name, unit } = QUANTITY_WORDS[check.quantity];
  const rows = check.trials.map(
    (t) =>
      `${t.skater}, ${check[t.which].technique.name}, trial ${t.trial.repeat}: ${meanText(t, unit)}, as asked: ${t.asked.answer}`,
  );
  const count = (answer: string) => check.trials.filter((t) => t.asked.answer === answer).length;
  return `As asked: ${count("yes")} of ${check.trials.length} trials; not: ${count("no")}; can’t tell: ${count("can't tell")}. Each trial's mean ${name} against what was asked. ${rows.join(". ")}.`;
}

/** "0.267 ± 0.011 m", or why it was not measured. */
export function meanText({ mean }: CheckedTrial, unit: string): string {
  return "why" in mean ? mean.why : formatReading({ value: mean.mean, u95: mean.u95 }, unit);
}
