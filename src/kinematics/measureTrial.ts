import { MeasureError } from "../errors.ts";
import { checkMarkSd, fitScale } from "../ice/fitScale.ts";
import type { FittedScale } from "../ice/ground.ts";
import { checkMarks } from "../marks/checkMarks.ts";
import { markingSd } from "../marks/markingSd.ts";
import { MarkTable } from "../marks/markTable.ts";
import { repeatWarnings } from "../marks/repeatWarnings.ts";
import type { Body, Side } from "../study/types.ts";
import { checkFrameInterval, medianInterval, orderedFrames } from "../time/frameTimes.ts";
import { checkSpeedFactor } from "../time/speedFactor.ts";
import { Sources } from "../uncertainty/uncertain.ts";
import { alongTrackSpeed, POSSIBLE_SPEED, speedLimit } from "./alongTrackSpeed.ts";
import { type ArmSwing, armSwing } from "./armSwing.ts";
import { betterPlacement } from "./betterPlacement.ts";
import { bladeTracks } from "./bladeTracks.ts";
import { placedPoints, recoveryPlace } from "./placedPoints.ts";
import { QUANTITIES } from "./quantities.ts";
import { attempt, ifPossible, readingOf, type Shown } from "./reading.ts";
import { type StrideEvents, strideOrder } from "./strideOrder.ts";
import { trackWarnings } from "./trackWarnings.ts";
import { type Contact, TrialGeometry } from "./trialGeometry.ts";
import { trialMean } from "./trialMeans.ts";
import { gateSpeeds, trialSprint } from "./trialSprint.ts";
import { trialWarnings } from "./trialWarnings.ts";
import type { IcePlace, MeasureInput, Stride, TrialReadings, Warning } from "./types.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** Marked frames a stride from which on it is dense marking. */
const FRAMES_OF_A_TRACK = 6;

/**
 * Everything one trial's marks and events say, each quantity with its uncertainty or with why it cannot be had.
 *
 * Missing marks and views that cannot show a quantity give readings without a value; a missing or refused ice
 * reference leaves times and rates. Instants are real seconds of the clip: clip time / speed factor.
 *
 * @throws {MeasureError} for input nobody can have meant: see `checkMarks`, `strideOrder`, `orderedFrames`
 *   and the other checks below
 */
export function measureTrial(input: MeasureInput): TrialReadings {
  return assessTrial(input).readings;
}

/** The readings, and what stands behind each number in them. */
export function assessTrial(input: MeasureInput): {
  readonly readings: TrialReadings;
  readonly shown: Shown;
} {
  checkMarks(input.marks, input.picture);
  checkSpeedFactor(input.speedFactor);
  checkMarkSd(input.markSdPx);
  checkBody(input.body);
  checkFrameInterval(input.frameInterval);
  const ordered = orderedFrames([...input.marks, ...input.events]);
  const scale = scaleOrWhy(input);
  const repeats = input.studyRepeats === undefined ? markingSd([input.marks]) : input.studyRepeats;
  const sdPx = repeats && !input.markSdIsKnown ? repeats.usedPx : input.markSdPx;
  const sources = new Sources();
  const table = new MarkTable(input.marks, sdPx);
  const trial = new TrialGeometry({
    strides: strideOrder(input.events),
    sources,
    marks: table,
    body: input.body,
    ground: typeof scale === "string" ? scale : scale.ground(sources),
    clipInterval: input.frameInterval ?? medianInterval(ordered),
    speedFactor: input.speedFactor,
  });
  const shown: Shown = new Map();
  const measured = QUANTITIES.map((rule) => ({
    rule,
    outcomes: trial.strides.map(({ side, stride, off }) => ({
      side,
      outcome: ifPossible(
        attempt(() => rule.measure(trial, stride)),
        rule.possible,
        off.frame,
      ),
    })),
  }));
  const arms = trial.strides.map(({ stride }) => ({
    left: armSwing(trial, input.events, stride, "left"),
    right: armSwing(trial, input.events, stride, "right"),
  }));
  const speeds = trial.strides.map(({ side, stride, off }) => ({
    side,
    outcome: ifPossible(
      attempt(() => alongTrackSpeed(trial, stride)),
      POSSIBLE_SPEED,
      off.frame,
    ),
  }));
  const strides = trial.strides.map((events, k): Stride => {
    const readings = measured.map(({ rule, outcomes }) => [
      rule.name,
      readingOf(outcomes[k]!.outcome, shown, rule.limit),
    ]);
    const eachArm = (pick: keyof ArmSwing) => ({
      left: readingOf(arms[k]!.left[pick], shown),
      right: readingOf(arms[k]!.right[pick], shown),
    });
    return {
      stride: events.stride,
      side: events.side,
      blade_off_frame: events.off.frame,
      blade_on_frame: events.on?.frame ?? null,
      readings: Object.fromEntries(readings) as Stride["readings"],
      armSwingDirectionDeg: eachArm("direction"),
      armSwingAngleDeg: eachArm("angle"),
      armPictureAngleDeg: eachArm("pictureAngle"),
      alongTrackSpeed: readingOf(speeds[k]!.outcome, shown, speedLimit, "m/s"),
      off: icePlace(trial, events, "blade_off"),
      on: icePlace(trial, events, "blade_on"),
      recovery: recoveryPlace(trial, events.stride),
    };
  });
  const means = measured
    .filter(({ rule }) => rule.name !== "blade_off_s" && rule.name !== "blade_on_s")
    .map(({ rule, outcomes }) => [rule.name, trialMean(outcomes, rule.balanced, shown, rule.limit)]);
  const armMean = (side: Side, pick: keyof ArmSwing) =>
    trialMean(
      arms.map((a) => ({ side, outcome: a[side][pick] })),
      false,
      shown,
    );
  const armMeans = (pick: keyof ArmSwing) => ({ left: armMean("left", pick), right: armMean("right", pick) });
  const readings: TrialReadings = {
    scale: typeof scale === "string" ? null : scale.summary,
    scaleWhy: typeof scale === "string" ? scale : null,
    strides,
    trial: Object.fromEntries(means) as TrialReadings["trial"],
    arms: { directionDeg: armMeans("direction"), angleDeg: armMeans("angle") },
    alongTrackSpeed: trialMean(speeds, false, shown, speedLimit, "m/s"),
    sprint: trialSprint(trial, shown),
    places: placedPoints(trial, input.events),
    gateSpeeds: gateSpeeds(trial, input.gates ?? [], shown),
    marking: { sdPx, repeats },
    warnings: [
      ...repeatWarnings(input.marks, sdPx, repeats),
      ...trialWarnings(trial, strides),
      ...(typeof scale === "string" || trial.interval === null
        ? []
        : betterPlacement(scale.summary, strides, 1 / trial.interval, sdPx)),
      ...againstTracks(input, trial, table),
    ],
  };
  return { readings, shown };
}

/** Picked events against densely marked blades; nothing where there are none. */
function againstTracks(input: MeasureInput, trial: TrialGeometry, table: MarkTable): Warning[] {
  // Sparse marking has no tracks: about three frames a stride.
  if (new Set(input.marks.map((m) => m.frame)).size < FRAMES_OF_A_TRACK * trial.strides.length) return [];
  try {
    const tracks = bladeTracks(input.marks, table, trial.ground, input.speedFactor);
    const secondsOf = (stride: StrideEvents, contact: Contact) =>
      contact === "blade_off" || stride.on ? trial.eventTime(stride, contact).value : null;
    return trackWarnings(tracks, trial.strides, secondsOf, trial.frameSeconds);
  } catch (error) {
    if (error instanceof Unmeasurable) return [];
    throw error;
  }
}

function checkBody(body: Body): void {
  for (const [name, length] of Object.entries(body)) {
    if (length === undefined || (Number.isFinite(length) && length > 0 && length < 3)) continue;
    const words = name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
    throw new MeasureError(
      "bad-body-length",
      `measureTrial requires body lengths between 0 and 3 m; ${name} is ${length}`,
      `The skater's ${words} must be a length in metres between 0 and 3; it is ${length}.`,
      { name, length },
    );
  }
}

function scaleOrWhy(input: MeasureInput): FittedScale | string {
  if (!input.iceReference) {
    return "There is no ice reference yet, so nothing can be had in metres. Set the scale of the ice first.";
  }
  try {
    return fitScale(input.iceReference, input.picture, input.markSdPx, input.lens);
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
}

function icePlace(trial: TrialGeometry, stride: StrideEvents, contact: Contact): IcePlace | null {
  const event = contact === "blade_off" ? stride.off : stride.on;
  const place = event && trial.tryPlace(event.frame, stride.side);
  return place && { x: place.x.value, y: place.y.value, ux: place.x.u, uy: place.y.u };
}
