import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { Scale } from "../../src/ice/types.ts";
import { measureAgain } from "../../src/kinematics/measureAgain.ts";
import type { MeasureInput, TrialReadings } from "../../src/kinematics/types.ts";
import type { IceReference, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { studySds, trialInput } from "../../src/trials/trialInput.ts";

/** A derived number or the reason why it cannot be had. Any other error is a bug and stays loud. */
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
  readonly marks: TrialMarks | undefined;
  readonly speedFactor: number | undefined;
  readonly body: unknown;
  readonly sds: string;
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

/** What a trial measures; worked out again only when something it depends on is another object. */
export function trialReading(whole: WholeStudy, trialId: string): Derived<TrialReadings> {
  const trial = whole.study.trials.find((t) => t.id === trialId);
  const marks = whole.marks[trialId];
  const speedFactor = trial?.speedFactor;
  const body = whole.study.skaters.find((s) => s.id === trial?.skater)?.body;
  const sds = Object.values(studySds(whole))
    .map(({ sdPx }) => sdPx)
    .join(" ");
  const last = remembered.get(trialId);
  if (
    last &&
    last.marks === marks &&
    last.speedFactor === speedFactor &&
    last.body === body &&
    last.sds === sds
  ) {
    return last.reading;
  }
  const reading = derived(() => measureOf(trialId)(trialInput(whole, trialId)));
  remembered.set(trialId, { marks, speedFactor, body, sds, reading });
  return reading;
}

const scales = new WeakMap<IceReference, { key: string; scale: Derived<Scale> }>();

/** The fitted ice reference, for drawing; remembered per reference object. */
export function scaleOf(
  reference: IceReference,
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
