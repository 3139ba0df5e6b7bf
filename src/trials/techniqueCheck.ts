import type { MeasureError } from "../errors.ts";
import type { TrialMean, TrialReadings } from "../kinematics/types.ts";
import { hasMean, type TrialQuantity } from "../quantities/catalogue.ts";
import { type Names, skaterLabels } from "../study/labels.ts";
import type { Band, Study, Technique, Trial } from "../study/types.ts";
import { type AsAsked, asAsked } from "./asAsked.ts";

/** What a trial measures, or why it cannot be measured. */
export type ReadingOf = (
  trial: string,
) =>
  | { readonly ok: true; readonly value: TrialReadings }
  | { readonly ok: false; readonly error: MeasureError };

export interface CheckedTrial {
  readonly trial: Trial;
  readonly skater: string;
  readonly which: "a" | "b";
  readonly asked: AsAsked;
  /** The trial's mean of the quantity that is drawn. */
  readonly mean: TrialMean;
}

export interface TechniqueCheck {
  /** The quantity drawn: the first that either technique is asked by. */
  readonly quantity: TrialQuantity;
  readonly a: { readonly technique: Technique; readonly band: Band | null };
  readonly b: { readonly technique: Technique; readonly band: Band | null };
  /** Trials of both techniques that are not void, in run order. */
  readonly trials: readonly CheckedTrial[];
}

/** Needs no hips and no heights: the sturdiest of the quantities that tell recoveries apart. */
const STURDIEST: TrialQuantity = "touchdown_to_track_midline_m";

/** Did they do what was asked? Every trial of two techniques against their bands. */
export function techniqueCheck(
  study: Study,
  two: { readonly a: Technique; readonly b: Technique },
  names: Names,
  readingOf: ReadingOf,
): TechniqueCheck {
  const asked = [...two.a.asked, ...two.b.asked].map((b) => b.quantity);
  const quantity = asked.find(hasMean) ?? STURDIEST;
  const band = (technique: Technique) => technique.asked.find((b) => b.quantity === quantity) ?? null;
  const labels = skaterLabels(study, names);
  const trials = study.trials
    .filter((t) => t.valid && (t.technique === two.a.id || t.technique === two.b.id))
    .sort((x, y) => x.order - y.order)
    .map((trial) => {
      const which: "a" | "b" = trial.technique === two.a.id ? "a" : "b";
      const skater = labels.get(trial.skater) ?? trial.skater;
      return { trial, skater, which, ...judged(trial, two[which], quantity, readingOf) };
    });
  return {
    quantity,
    a: { technique: two.a, band: band(two.a) },
    b: { technique: two.b, band: band(two.b) },
    trials,
  };
}

/** Whether one trial is as asked; can't tell, with the reason, when it cannot be measured. */
export function trialAsAsked(trial: Trial, technique: Technique, readingOf: ReadingOf): AsAsked {
  const reading = readingOf(trial.id);
  if (!reading.ok) return { answer: "can't tell", why: unmeasuredWhy(trial, reading.error), bands: [] };
  return asAsked(technique, reading.value.trial);
}

function judged(
  trial: Trial,
  technique: Technique,
  quantity: TrialQuantity,
  readingOf: ReadingOf,
): Pick<CheckedTrial, "asked" | "mean"> {
  const reading = readingOf(trial.id);
  const asked = trialAsAsked(trial, technique, readingOf);
  return {
    asked,
    mean: reading.ok
      ? reading.value.trial[quantity]
      : { value: null, why: unmeasuredWhy(trial, reading.error) },
  };
}

/** Asking for marks on a clip that is not there would send the coach the wrong way. */
function unmeasuredWhy(trial: Trial, error: MeasureError): string {
  return trial.clip === undefined ? "No clip is linked, so nothing can be measured on it." : error.coach;
}
