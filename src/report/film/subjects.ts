import { MeasureError } from "../../errors.ts";
import { type Names, skaterLabels, techniqueLabels, trialLabel, typedText } from "../../study/labels.ts";
import type { Study, Trial, TrialMarks, WholeStudy } from "../../study/types.ts";
import { asksForArms } from "../../trials/armsMeant.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { type Moment, type MomentFrame, momentFrame, usualMoment, type WishedMoment } from "./moment.ts";
import { momentNearestMean } from "./momentNearestMean.ts";
import { eventOfStride } from "./momentStride.ts";

export interface FilmWish {
  /** One trial, or two side by side. */
  readonly trials: readonly string[];
  /** null = the blade-off of the stride nearest the mean; in the middle of those that all trials have where nothing is measured. */
  readonly moment: WishedMoment | null;
  /** How many times slower than life it plays. */
  readonly slow: number;
  /** Frames a second; absent = enough for phones. */
  readonly rate?: number | undefined;
  /** Real seconds about the moment; absent = what is marked, and a little more. */
  readonly from?: number | undefined;
  readonly to?: number | undefined;
  readonly names: Names;
}

/** One trial that is shown. */
export interface Subject {
  readonly trial: Trial;
  readonly clip: string;
  readonly marks: TrialMarks;
  readonly label: string;
  readonly title: string;
  readonly technique: string;
}

function filmed({ study, marks }: WholeStudy, id: string, names: Names): Subject {
  const trial = study.trials.find((t) => t.id === id);
  if (!trial)
    throw new MeasureError(
      "unknown-trial",
      `planFilm needs a trial of the study; there is none with id ${id}`,
      `This study has no trial "${id}". Its trials are: ${study.trials.map((t) => t.id).join(", ") || "none yet"}.`,
    );
  const label = trialLabel(study, id, names);
  const own = marks[id];
  if (trial.clip === undefined || !own?.picture)
    throw new MeasureError(
      "no-clip",
      `planFilm needs a marked clip for trial ${id}`,
      trial.clip === undefined
        ? `${label} has no clip. Add it in Times.`
        : `Nothing is marked on the clip of ${label} yet. Open it in Measure first.`,
    );
  return {
    trial,
    clip: trial.clip,
    marks: own,
    label,
    title: skaterLabels(study, names).get(trial.skater) ?? trial.skater,
    technique: `${typedText(study, techniqueLabels(study).get(trial.technique) ?? trial.technique, names)}, trial ${trial.repeat}`,
  };
}

/** The moment whose strides lie nearest their trials' means; null where that is not known. */
export function nearestMean(
  study: Study,
  subjects: readonly Pick<Subject, "trial" | "marks">[],
  readingOf: ReadingOf,
): Moment | null {
  const shown = subjects.map(({ trial, marks }) => {
    const reading = readingOf(trial.id);
    const ofArms = asksForArms(study, trial.technique);
    return { marks, readings: reading.ok ? reading.value : null, ofArms };
  });
  return momentNearestMean(shown, study.lane);
}

/**
 * The trials of a wish and where each of their clips is lined up.
 *
 * @param readingOf for the stride nearest the mean where no moment is wished for
 * @throws {MeasureError} `unknown-trial`, `no-clip`, `no-moment`
 */
export function filmSubjects(
  whole: WholeStudy,
  wish: FilmWish,
  readingOf: ReadingOf,
): { readonly moment: Moment; readonly subjects: readonly (Subject & { readonly at: MomentFrame })[] } {
  const subjects = wish.trials.map((id) => filmed(whole, id, wish.names));
  const { lane } = whole.study;
  const moment =
    wish.moment?.kind === "stride"
      ? eventOfStride(wish.moment, subjects)
      : (wish.moment ??
        nearestMean(whole.study, subjects, readingOf) ??
        usualMoment(
          subjects.map((s) => s.marks),
          lane,
        ));
  if (!moment)
    throw new MeasureError(
      "no-moment",
      "filmSubjects needs an event that all trials have",
      wish.trials.length > 1
        ? "These two trials have no marked event in common, so their clips can't be lined up. Mark blade-offs of both in Measure first."
        : "No event is marked in this trial yet. Mark its blade-offs in Measure first.",
    );
  return {
    moment,
    subjects: subjects.map((s) => ({ ...s, at: momentFrame(s.marks, moment, lane, s.label) })),
  };
}
