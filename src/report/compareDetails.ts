import { comparedTechniques, compareStudy, timeValue } from "../compare/compareStudy.ts";
import { type ManyTechniques, manyTechniques } from "../compare/manyTechniques.ts";
import { type ObserverScatter, observerScatter } from "../compare/observerScatter.ts";
import { type TrialReliability, trialReliability } from "../compare/trialReliability.ts";
import { type TimedMeasure, type WithinSkater, withinSkater } from "../compare/withinSkater.ts";
import { type WithinTechnique, withinTechnique } from "../compare/withinTechnique.ts";
import type { MarkingSd } from "../marks/markingSd.ts";
import type { TrialQuantity } from "../quantities/catalogue.ts";
import type { CompareQuantity } from "../quantities/compared.ts";
import type { OrWhy } from "../reading.ts";
import { type Names, skaterLabels, techniqueLabels, trialLabel } from "../study/labels.ts";
import type { TimedTrial } from "../study/timed.ts";
import type { WholeStudy } from "../study/types.ts";
import { type Achieved, achieved } from "../trials/achieved.ts";
import { meantOf } from "../trials/armsMeant.ts";
import { withClipTimes } from "../trials/clipTime.ts";
import { contradiction, countedReadings } from "../trials/countedReadings.ts";
import { scaleAgainstGates } from "../trials/scaleAgainstGates.ts";
import { scalesUnlikeSpeeds } from "../trials/scalesUnlikeSpeeds.ts";
import { stretchedScales } from "../trials/stretchedScales.ts";
import { type ReadingOf, techniqueCheck } from "../trials/techniqueCheck.ts";
import { studyRepeats } from "../trials/trialInput.ts";
import { unlikeScales } from "../trials/unlikeScales.ts";
import { recoveryWarnings } from "./recoveryWarnings.ts";
import { zoneWarnings } from "./zoneWarnings.ts";

/** What time is held against within skaters, in the order shown. */
const MEASURES: readonly TrialQuantity[] = [
  "stride_width_m",
  "recovery_to_midline_m",
  "touchdown_to_track_midline_m",
  "stride_rate_hz",
  "arm_swing_direction_deg",
  "arm_swing_angle_deg",
];

export interface CompareDetails {
  readonly achieved: OrWhy<Achieved>;
  readonly within: readonly {
    readonly measure: TrialQuantity;
    readonly line: OrWhy<WithinSkater>;
    /** Among repeats of one technique. */
    readonly repeats: OrWhy<WithinTechnique>;
  }[];
  /** How well trials repeat, of each technique. */
  readonly trials: readonly TrialReliability[];
  /** How well marking repeats, over all clips; null with too few repeats to say. */
  readonly marking: MarkingSd | null;
  readonly observers: OrWhy<ObserverScatter>;
  /** Clips whose own time does not fit their trial's, in words: what is measured on them may be somebody else's. */
  readonly contradictions: readonly string[];
  /** What makes single trials unlike the others: another part of the lane, recovery times far off; in words. */
  readonly unlike: readonly string[];
  /** Null with only two techniques. */
  readonly many: ManyTechniques | null;
}

/**
 * What stands behind a comparison: how much of the technique difference was skated, how time goes with what was
 * measured, and all techniques where there are more than two. Null when the study has fewer than two.
 *
 * @param without trials to leave out, by id
 */
export function compareDetails(
  given: WholeStudy,
  quantity: CompareQuantity,
  names: Names,
  readings: ReadingOf,
  without: ReadonlySet<string> = new Set(),
): CompareDetails | null {
  const whole = withClipTimes(given);
  const { study, marks } = whole;
  const two = comparedTechniques(study);
  if (!two) return null;
  const readingOf = countedReadings(whole, readings);
  const means = (measure: TrialQuantity) => (trial: string) => {
    const reading = readingOf(trial);
    if (!reading.ok) return null;
    const mean = reading.value.trial[measure];
    return "why" in mean ? null : mean.mean;
  };
  const u95Of = (trial: string, measure: TrialQuantity) => {
    const reading = readingOf(trial);
    const mean = reading.ok ? reading.value.trial[measure] : null;
    return mean && "mean" in mean ? mean.u95 : 0;
  };
  const skaters = skaterLabels(study, names);
  const techniques = techniqueLabels(study);
  const used = study.trials.filter((t) => t.valid && !without.has(t.id));
  const check = techniqueCheck(study, two, names, readingOf);
  const skated = compareStudy(study, {
    quantity: check.quantity,
    meanOf: means(check.quantity),
    names,
    without,
  });
  const within = meantOf(whole, MEASURES).map((measure) => {
    const meanOf = means(measure);
    const trials = timedAlike(used).flatMap(({ id, skater, technique, time }): TimedMeasure[] => {
      const value = meanOf(id);
      if (time === null || value === null) return [];
      return [{ skater, technique, time, measure: value, u95: u95Of(id, measure) }];
    });
    return { measure, line: withinSkater(trials), repeats: withinTechnique(trials) };
  });
  const rowValue = (trial: TimedTrial) =>
    quantity === "time_s" ? timeValue(trial) : { value: means(quantity)(trial.id) };
  const rows = used.map((t) => ({
    skater: skaters.get(t.skater) ?? t.skater,
    technique: techniques.get(t.technique) ?? t.technique,
    order: t.order,
    ...rowValue(t),
    valid: true,
  }));
  const labels = study.techniques.map((t) => techniques.get(t.id) ?? t.id);
  const clips = Object.values(marks).map((m) => m.marks);
  const repeats = studyRepeats({ marks });
  return {
    achieved: achieved(check, skated),
    within,
    trials: labels.map((technique) => trialReliability(rows, technique)),
    marking: repeats.blades ?? repeats.all,
    observers: observerScatter(clips),
    contradictions: study.trials.flatMap(({ id }) => {
      const said = contradiction(whole, id, readings);
      return said === null
        ? []
        : [`${trialLabel(study, id, names)}: ${said} Nothing measured on that clip is counted.`];
    }),
    unlike: [
      ...zoneWarnings(study, used, names, readingOf),
      ...recoveryWarnings(whole, used, names),
      ...stretchedScales(whole, readingOf),
      ...scalesUnlikeSpeeds(whole, readingOf),
      ...used.flatMap(({ id }) =>
        [...scaleAgainstGates(whole, id, readingOf), ...unlikeScales(whole, id, readingOf)].map(
          ({ text }) => ({
            text: `${trialLabel(study, id, names)}: ${text}`,
          }),
        ),
      ),
    ].map((w) => w.text),
    many: study.techniques.length < 3 ? null : manyTechniques(rows, labels, study.lane.gateBeam),
  };
}

/** Trials that one kind of clock timed, the kind that timed more: their offset must not pass for a slope. */
function timedAlike(trials: readonly TimedTrial[]): readonly TimedTrial[] {
  const byClip = trials.filter((t) => t.clipSd !== undefined);
  const rest = trials.filter((t) => t.clipSd === undefined && t.time !== null);
  return byClip.length > rest.length ? byClip : rest;
}
