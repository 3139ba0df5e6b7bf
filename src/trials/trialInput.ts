import { MeasureError } from "../errors.ts";
import type { MeasureInput } from "../kinematics/types.ts";
import { type MarkSds, type Repeats, reckonedSds, repeatsOf } from "../marks/markSds.ts";
import { viewWithId } from "../study/trialViews.ts";
import type { Trial, TrialMarks, WholeStudy } from "../study/types.ts";
import { endGates, gateTimeFromFrames } from "./gateTime.ts";
import { setupOf, trialScale } from "./scaleReference.ts";

/** A trial nobody has marked yet. */
export function emptyMarks(trial: string): TrialMarks {
  return {
    format: "blademark.marks",
    version: 1,
    trial,
    picture: null,
    iceReference: null,
    events: [],
    marks: [],
  };
}

/** What each trial's marks were measured from last. */
const inputs = new WeakMap<TrialMarks, MeasureInput>();

/**
 * What the core needs to measure one trial of a study, or one view of it by the view's id: the same object as long as nothing in it has changed, so readings
 * can be remembered by it.
 *
 * @throws {MeasureError} `unknown-trial`; `no-picture` when nothing has been marked on a clip yet
 */
export function trialInput(whole: WholeStudy, trialId: string): MeasureInput {
  const trial = viewWithId(whole.study, trialId);
  if (!trial) {
    throw new MeasureError(
      "unknown-trial",
      `trialInput needs a trial of the study; there is none with id ${trialId}`,
      `This study has no trial "${trialId}". Its trials are: ${whole.study.trials.map((t) => t.id).join(", ") || "none yet"}.`,
      { trial: trialId },
    );
  }
  const marks = whole.marks[trialId] ?? emptyMarks(trialId);
  if (!marks.picture) {
    throw new MeasureError(
      "no-picture",
      `trialInput needs marks on a clip; trial ${trialId} has none`,
      trial.clip === undefined
        ? "No clip is linked to this trial, so nothing can be measured on it. Add its clip in Times."
        : "Nothing is marked on this trial's clip yet. Open it in Measure and set the scale of the ice first.",
      { trial: trialId },
    );
  }
  const skater = whole.study.skaters.find((s) => s.id === trial.skater);
  const { reference, steady } = trialScale(whole, trialId);
  const input: MeasureInput = {
    marks: marks.marks,
    events: marks.events,
    iceReference: reference,
    ...(steady && { steady }),
    picture: { width: marks.picture.width, height: marks.picture.height },
    frameInterval: marks.picture.frameInterval,
    speedFactor: trial.speedFactor,
    body: skater?.body ?? UNTAPED,
    markSdPx: whole.study.markSdPx,
    studyRepeats: studyRepeats(whole),
    ...timedAt(whole, trial, marks),
  };
  const last = inputs.get(marks);
  if (last && isSame(last, input)) return last;
  inputs.set(marks, input);
  return input;
}

const UNTAPED = {};

/**
 * The time from gate to gate that the speed along the lane is held against: by the frames picked at the gates of this very clip, else
 * by the photocells.
 */
function timedAt(
  { study }: WholeStudy,
  { time, speedFactor }: Pick<Trial, "time" | "speedFactor">,
  { trial, picture, gatePassings = [] }: TrialMarks,
): Pick<MeasureInput, "timed"> {
  const gates = endGates(study.lane);
  if (!gates || !picture) return {};
  const { start } = study.lane;
  const timing = { frameInterval: picture.frameInterval, speedFactor };
  const seconds = gateTimeFromFrames(gatePassings, gates, timing, start).value ?? time;
  if (seconds === null) return {};
  const like = setupOf({ study }, trial)?.trials.find((t) => t.trial === trial)?.like;
  return { timed: { seconds, gates, start, ...(like?.by === "looked" ? { byLook: true } : {}) } };
}

/** Of inputs from the same marks: whether they agree in what stands elsewhere in the study. */
function isSame(a: MeasureInput, b: MeasureInput): boolean {
  return (
    a.speedFactor === b.speedFactor &&
    // Of a camera set-up it rests on other trials' marks too.
    a.iceReference === b.iceReference &&
    a.steady === b.steady &&
    (a.timed === b.timed || JSON.stringify(a.timed) === JSON.stringify(b.timed)) &&
    a.body === b.body &&
    a.markSdPx === b.markSdPx &&
    // Worked out anew whenever a mark of any trial moves, and mostly to the same.
    (a.studyRepeats === b.studyRepeats || JSON.stringify(a.studyRepeats) === JSON.stringify(b.studyRepeats))
  );
}

const known = new WeakMap<WholeStudy["marks"], Repeats>();

/** How well this study's marks repeat, from every point marked more than once, ice points among them. */
export function studyRepeats({ marks }: Pick<WholeStudy, "marks">): Repeats {
  const found = known.get(marks);
  if (found) return found;
  const trials = Object.values(marks);
  const repeats = repeatsOf(
    trials.map((trial) => trial.marks),
    trials.map((trial) => trial.iceReference),
  );
  known.set(marks, repeats);
  return repeats;
}

/** SD of one mark per coordinate that the study is reckoned with, for each kind of point; of hips each trial may tell its own. */
export function studySds(whole: Pick<WholeStudy, "study" | "marks">): MarkSds {
  return reckonedSds(studyRepeats(whole), whole.study.markSdPx, false);
}

/** The same of an ice point, px: what a trial's scale is fitted with. */
export function iceMarkSd(whole: Pick<WholeStudy, "study" | "marks">): number {
  return studySds(whole).icePoints.sdPx;
}
