import { createStore } from "zustand/vanilla";
import { MeasureError } from "../../src/errors.ts";
import { fitScale, type ScaleReference } from "../../src/ice/fitScale.ts";
import type { Scale } from "../../src/ice/types.ts";
import { measureAgain } from "../../src/kinematics/measureAgain.ts";
import type { MeasureInput, TrialReadings } from "../../src/kinematics/types.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { idsMeasuredTogether, measuredTrial } from "../../src/trials/measuredViews.ts";
import { trialInput } from "../../src/trials/trialInput.ts";

/** A derived number or the reason why there is none. Any other error is a bug and stays loud. */
export type Derived<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: MeasureError };

export function derived<T>(measure: () => T): Derived<T> {
  try {
    return { ok: true, value: measure() };
  } catch (error) {
    if (error instanceof MeasureError) return { ok: false, error };
    throw error;
  }
}

interface Remembered {
  readonly input: Derived<MeasureInput>;
  readonly reading: Derived<TrialReadings>;
}

const remembered = new Map<string, Remembered>();

/** The trial measured last, which goes on from where it was: while marks are being moved that is the same trial. */
let latest: { readonly trial: string; readonly measure: (input: MeasureInput) => TrialReadings } | null =
  null;

function measureOf(trial: string): (input: MeasureInput) => TrialReadings {
  if (latest?.trial !== trial) latest = { trial, measure: measureAgain() };
  return latest.measure;
}

const together = new WeakMap<TrialReadings, Derived<TrialReadings>>();

/** What a trial measures by all of its marked views together; `trialReading` where there is one. */
export function wholeReading(whole: WholeStudy, trialId: string): Derived<TrialReadings> {
  const trial = whole.study.trials.find((t) => t.id === trialId);
  if (!trial?.clips || idsMeasuredTogether(whole, trial).length === 0) return trialReading(whole, trialId);
  const found = derived(() => measuredTrial(whole, trial).readings);
  if (!found.ok) return found;
  const known = together.get(found.value) ?? found;
  together.set(found.value, known);
  return known;
}

/** What a trial measures, or one view of it, by its own marks alone; worked out again only when what it is measured from has changed. */
export function trialReading(whole: WholeStudy, trialId: string): Derived<TrialReadings> {
  const input = derived(() => trialInput(whole, trialId));
  const last = remembered.get(trialId);
  if (last && isSame(last.input, input)) return last.reading;
  const reading = input.ok ? derived(() => measureOf(trialId)(input.value)) : input;
  remembered.set(trialId, { input, reading });
  return reading;
}

/** The study of which all trials have been worked out: who shows what is at hand looks again then. */
export const workedOut = createStore<{ readonly whole: WholeStudy | null }>(() => ({ whole: null }));

/** `trialReading` where it is worked out already; null where that would have to be done first. */
export function readingAtHand(whole: WholeStudy, trialId: string): Derived<TrialReadings> | null {
  const last = remembered.get(trialId);
  return last &&
    isSame(
      last.input,
      derived(() => trialInput(whole, trialId)),
    )
    ? last.reading
    : null;
}

function isSame(a: Derived<MeasureInput>, b: Derived<MeasureInput>): boolean {
  return a.ok ? b.ok && a.value === b.value : !b.ok && a.error.coach === b.error.coach;
}

const scales = new WeakMap<ScaleReference, { key: string; scale: Derived<Scale> }>();

/** The fitted ice reference, for drawing; remembered per reference object. */
export function scaleOf(
  reference: ScaleReference,
  picture: { readonly width: number; readonly height: number },
  markSdPx: number,
): Derived<Scale> {
  const key = `${picture.width} ${picture.height} ${markSdPx}`;
  const known = scales.get(reference);
  if (known?.key === key) return known.scale;
  const scale = derived(() => fitScale(reference, picture, markSdPx));
  scales.set(reference, { key, scale });
  return scale;
}
