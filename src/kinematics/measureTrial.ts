import { MeasureError } from "../errors.ts";
import type { FittedScale } from "../ice/camera/ground.ts";
import { checkMarkSd, fitScale } from "../ice/fitScale.ts";
import type { ScaleSummary } from "../ice/types.ts";
import { checkMarks } from "../marks/checkMarks.ts";
import { hipScatter } from "../marks/hipScatter.ts";
import { type MarkSds, reckonedSds, repeatsOf } from "../marks/markSds.ts";
import { MarkTable } from "../marks/markTable.ts";
import { repeatWarnings } from "../marks/repeatWarnings.ts";
import { type ArmQuantity, entryOf, isOfArm, TRIAL_QUANTITIES } from "../quantities/catalogue.ts";
import { SIDES } from "../study/names.ts";
import type { Body, IceReference, Side } from "../study/types.ts";
import { checkFrameInterval, checkRealInterval, medianInterval, orderedFrames } from "../time/frameTimes.ts";
import { checkSpeedFactor } from "../time/speedFactor.ts";
import { Sources } from "../uncertainty/uncertain.ts";
import { type ArmOutcome, meanOfArm, meanOfArms } from "./quantities/armMeans.ts";
import type { Shown } from "./quantities/readingOf.ts";
import { armsOf, type Found, quantityOf, speedOf, strideReadings } from "./quantities/strideReadings.ts";
import { trialMean } from "./quantities/trialMeans.ts";
import { speedLimit } from "./speed/alongTrackSpeed.ts";
import { gateSpeeds, trialSprint } from "./speed/trialSprint.ts";
import { eventsAgainstTracks } from "./tracks/eventsAgainstTracks.ts";
import { betterPlacement } from "./trial/betterPlacement.ts";
import { slot } from "./trial/notebook.ts";
import { placedPoints } from "./trial/placedPoints.ts";
import { runnerLength } from "./trial/runnerLength.ts";
import { groundOfSteady, steadyMarks, uprightMarks } from "./trial/steadyMarks.ts";
import { strideOrder } from "./trial/strideOrder.ts";
import { type SharedCauses, TrialGeometry } from "./trial/trialGeometry.ts";
import type { MeasureInput, TrialMean, TrialReadings } from "./types.ts";
import { bodyWarnings } from "./warnings/bodyWarnings.ts";
import { believed, disbelief, type Told } from "./warnings/disbelief.ts";
import { runnerUnlikeBlade } from "./warnings/runnerUnlikeBlade.ts";
import { scaleUnlikeSpeed } from "./warnings/scaleUnlikeSpeed.ts";
import { speedUnlikeTime } from "./warnings/speedUnlikeTime.ts";
import { trialWarnings } from "./warnings/trialWarnings.ts";
import { turnedArms } from "./warnings/turnedArms.ts";
import { unlikeAnswers } from "./warnings/unlikeAnswers.ts";

/** By what it is a mean of, and which strides are left out. */
const MEAN = slot<string, TrialMean>();
const SPRINT = slot<0, TrialReadings["sprint"]>();
const PLACES = slot<0, TrialReadings["places"]>();

/**
 * Everything one trial's marks and events say, each quantity with its uncertainty or with why it cannot be measured.
 *
 * Missing marks and views that cannot show a quantity give readings without a value; a missing or refused ice
 * reference leaves times and rates. Instants are real seconds of the clip: clip time / speed factor.
 *
 * @throws {MeasureError} for input nobody can have meant: see `checkMarks`, `strideOrder`, `orderedFrames`
 *   and the other checks below
 */
export function measureTrial(input: MeasureInput): TrialReadings {
  const { readings, trial } = assessTrial(input);
  trial.letGo();
  return readings;
}

/** The readings, what stands behind each number in them, and what they were worked out through. */
export interface Assessment {
  readonly readings: TrialReadings;
  readonly shown: Shown;
  readonly input: MeasureInput;
  readonly scale: FittedScale | string;
  readonly clipInterval: number | null;
  readonly trial: TrialGeometry;
}

/** How a trial is assessed. */
export interface Assessing {
  /** An earlier assessment to go on from where only marks are different. It is used up. */
  readonly before?: Assessment | null;
  /** Whether errors are going to be drawn for what is `shown`. */
  readonly drawn?: boolean;
  /** Where this is one of several views of a trial: one list of causes for all of them, and what they have in common. */
  readonly together?: { readonly sources: Sources; readonly causes: SharedCauses };
}

/**
 * `measureTrial`, going on from an earlier assessment where there is one: the readings are the same to the last bit.
 */
export function assessTrial(
  input: MeasureInput,
  { before = null, drawn = false, together }: Assessing = {},
): Assessment {
  checkMarks(input.marks, input.picture);
  checkSpeedFactor(input.speedFactor);
  checkMarkSd(input.markSdPx);
  checkBody(input.body);
  checkFrameInterval(input.frameInterval);
  const ordered = orderedFrames([...input.marks, ...input.events]);
  const sds = sdsOf(input);
  const scale = scaleOrWhy(input, sds);
  const marks = uprightMarks(steadyMarks(input.marks, input.steady), scale);
  const table = new MarkTable(marks, sds);
  const clipInterval = input.frameInterval ?? medianInterval(ordered);
  checkRealInterval(clipInterval, input.speedFactor);
  const basis = { input, scale, clipInterval };
  const goesOn = before !== null && differsInMarksOnly(before, basis);
  const { trial, shown } = goesOn ? before : begun(basis, table, drawn, together);
  if (goesOn) trial.markAgain(table);
  const numbers = trial.strides.map(({ stride }) => stride);
  const asMarked = numbers.map((n) => strideReadings(trial, input.events, n, shown));
  const runner = runnerLength(trial);
  const about = [
    ...bodyWarnings(input.body),
    ...trialWarnings(trial, asMarked),
    ...speedUnlikeTime(asMarked, input.timed),
    ...scaleUnlikeSpeed(asMarked, input.timed),
    ...unlikeAnswers(trial, input.events),
    ...turnedArms(trial, input.events),
    ...runnerUnlikeBlade(runner, input.body.blade),
  ];
  const doubt = disbelief(trial, about);
  const strides = doubt ? asMarked.map((stride) => believed(stride, doubt)) : asMarked;
  /** Each stride's outcome, or why it is not to be believed. */
  const sided = (of: (n: number) => Found, told: Told, arm?: Side) =>
    trial.strides.map(({ side, stride }) => {
      const why = doubt?.(told, stride, arm) ?? null;
      return { side, outcome: why === null ? of(stride).outcome : { why } };
    });
  /** Which strides are left out is known only after the notebook, so it is part of the key. */
  const meanOf = (name: string, told: Told, mean: () => TrialMean, arm?: Side): TrialMean => {
    const out = doubt ? numbers.filter((n) => doubt(told, n, arm) !== null) : [];
    if (out.length === numbers.length) return mean();
    return trial.remember(MEAN, out.length === 0 ? name : `${name} without ${out.join()}`, mean);
  };
  const armHad = (quantity: ArmQuantity, side: Side): ArmOutcome[] =>
    trial.strides.map((stride) => {
      const why = doubt?.("arms", stride.stride, side) ?? null;
      const { axis, angle } = armsOf(trial, input.events, stride.stride, shown)[side];
      const told = quantity === "arm_swing_direction_deg" ? axis : angle.outcome;
      return { arm: side, stride: stride.side, outcome: why === null ? told : { why } };
    });
  const armMean = (quantity: ArmQuantity, side: Side) =>
    meanOf(`${quantity} ${side}`, "arms", () => meanOfArm(quantity, armHad(quantity, side), shown), side);
  const armMeans = (quantity: ArmQuantity) => ({
    left: armMean(quantity, "left"),
    right: armMean(quantity, "right"),
  });
  const armsMean = (quantity: ArmQuantity): TrialMean => {
    const mean = () =>
      meanOfArms(quantity, [...armHad(quantity, "left"), ...armHad(quantity, "right")], shown);
    const isDoubted = SIDES.some((side) => numbers.some((n) => (doubt?.("arms", n, side) ?? null) !== null));
    return isDoubted ? mean() : trial.remember(MEAN, quantity, mean);
  };
  const means = TRIAL_QUANTITIES.map((quantity) => {
    if (isOfArm(quantity)) return [quantity, armsMean(quantity)];
    const { balanced, limit } = entryOf(quantity);
    const had = () => sided((n) => quantityOf(trial, quantity, n, shown), quantity);
    const mean = () => trialMean(had(), balanced, shown, { limit });
    return [quantity, meanOf(quantity, quantity, mean)];
  });
  const speedMean = () =>
    trialMean(
      sided((n) => speedOf(trial, n, shown), "speed"),
      false,
      shown,
      { limit: speedLimit, unit: "m/s" },
    );
  const speedDoubt = (n: number) => doubt?.("speed", n) ?? null;
  const isSpeedDoubted = numbers.some((n) => speedDoubt(n) !== null);
  const sprint = () => trialSprint(trial, shown, speedDoubt);
  const readings: TrialReadings = {
    scale: typeof scale === "string" ? null : withMotion(scale.summary, input),
    scaleWhy: typeof scale === "string" ? scale : null,
    strides,
    trial: Object.fromEntries(means) as TrialReadings["trial"],
    arms: {
      directionDeg: armMeans("arm_swing_direction_deg"),
      angleDeg: armMeans("arm_swing_angle_deg"),
    },
    alongTrackSpeed: meanOf("along track speed", "speed", speedMean),
    sprint: isSpeedDoubted ? sprint() : trial.remember(SPRINT, 0, sprint),
    places: trial.remember(PLACES, 0, () => placedPoints(trial, input.events)),
    gateSpeeds: gateSpeeds(trial, input.gates ?? [], shown, speedDoubt),
    runner,
    marking: sds,
    warnings: [
      ...repeatWarnings(input.marks, sds),
      ...(input.steady?.warnings ?? []),
      ...about,
      ...(typeof scale === "string" || scale.unprovenWhy !== undefined || trial.interval === null
        ? []
        : betterPlacement(scale.summary, strides, 1 / trial.interval, sds.blades.sdPx)),
      ...eventsAgainstTracks({ ...input, marks }, trial, table),
    ],
  };
  return { readings, shown, ...basis, trial };
}

function withMotion(summary: ScaleSummary, { steady }: MeasureInput): ScaleSummary {
  return steady ? { ...summary, motion: steady.summary } : summary;
}

type Basis = Pick<Assessment, "input" | "scale" | "clipInterval">;

function begun(
  { input, scale, clipInterval }: Basis,
  marks: MarkTable,
  drawn: boolean,
  together: Assessing["together"],
): Pick<Assessment, "trial" | "shown"> {
  const sources = together?.sources ?? new Sources();
  const steady = input.steady && !input.steady.isStill ? input.steady : null;
  const groundHere = (fitted: FittedScale) =>
    steady ? groundOfSteady(fitted.ground(sources), steady) : fitted.ground(sources);
  const trial = new TrialGeometry({
    strides: strideOrder(input.events),
    sources,
    marks,
    body: input.body,
    ground: typeof scale === "string" ? scale : (scale.unprovenWhy ?? groundHere(scale)),
    clipInterval,
    speedFactor: input.speedFactor,
    drawn,
    moves: steady && { steady, picture: input.picture },
    ...(together && { causes: together.causes }),
  });
  return { trial, shown: drawn ? new Map() : null };
}

/** So many causes of error handed out that starting anew is cheaper than keeping their places. */
const MANY_SOURCES = 50_000;

function differsInMarksOnly(before: Assessment, now: Basis): boolean {
  const [a, b] = [before.input, now.input];
  return (
    // The scale holds for its own reference, picture, marking SD and lens.
    before.scale === now.scale &&
    before.clipInterval === now.clipInterval &&
    a.events === b.events &&
    a.steady === b.steady &&
    a.speedFactor === b.speedFactor &&
    a.timed?.seconds === b.timed?.seconds &&
    sameBody(a.body, b.body) &&
    before.trial.sources.count < MANY_SOURCES
  );
}

function sameBody(a: Body, b: Body): boolean {
  return (Object.keys({ ...a, ...b }) as (keyof Body)[]).every((name) => a[name] === b[name]);
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

/** How well the marks of a trial are put, by what its repeats or the study's say. */
function sdsOf(input: MeasureInput): MarkSds {
  const repeats =
    input.studyRepeats === undefined
      ? repeatsOf([input.marks], ownReference(input.iceReference))
      : input.studyRepeats;
  return reckonedSds(repeats, input.markSdPx, input.markSdIsKnown === true, hipScatter(input.marks));
}

/** What was marked on this clip alone. */
function ownReference(reference: MeasureInput["iceReference"]): readonly (IceReference | null)[] {
  if (reference?.kind === "set-up") return [];
  return [reference?.kind === "followed" ? reference.reference : reference];
}

function scaleOrWhy(input: MeasureInput, sds: MarkSds): FittedScale | string {
  if (!input.iceReference) {
    return "There is no ice reference yet, so nothing can be measured in metres. Set the scale of the ice first.";
  }
  try {
    return fitScale(input.iceReference, input.picture, sds.icePoints.sdPx, input.lens);
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
}
