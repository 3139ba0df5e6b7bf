import type { TrialReadings } from "../kinematics/types.ts";
import { TRIAL_QUANTITIES, type TrialQuantity } from "../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { type Names, trialLabel } from "../study/labels.ts";
import type { Trial, WholeStudy } from "../study/types.ts";
import { meantOf } from "../trials/armsMeant.ts";
import type { ReadingOf } from "../trials/techniqueCheck.ts";

/** One reason and the trials and quantities it holds for. */
export interface Refusal {
  readonly why: string;
  readonly of: readonly string[];
}

/** Why numbers are missing, each reason once. */
export function refusals(
  whole: WholeStudy,
  trials: readonly Trial[],
  names: Names,
  readingOf: ReadingOf,
): Refusal[] {
  const { study } = whole;
  const meant = meantOf(whole, TRIAL_QUANTITIES);
  const byWhy = new Map<string, string[]>();
  const add = (why: string, of: string) => byWhy.set(why, [...(byWhy.get(why) ?? []), of]);
  for (const trial of trials) {
    const label = trialLabel(study, trial.id, names);
    if (!trial.valid) add("Void, so not used.", label);
    if (trial.clip === undefined) {
      add("No clip is linked, so nothing can be measured on it.", label);
      continue;
    }
    const reading = readingOf(trial.id);
    if (!reading.ok) add(reading.error.coach, label);
    else
      for (const [q, why] of missing(reading.value, meant)) add(why, `${label}: ${QUANTITY_WORDS[q].name}`);
  }
  return [...byWhy].map(([why, of]) => ({ why, of }));
}

function missing({ trial }: TrialReadings, quantities: readonly TrialQuantity[]): [TrialQuantity, string][] {
  return quantities.flatMap((q) => {
    const mean = trial[q];
    return "why" in mean ? [[q, mean.why] as [TrialQuantity, string]] : [];
  });
}
