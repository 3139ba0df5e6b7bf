import type { TrialQuantity } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import type { Names } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import { countedReadings } from "../../trials/countedReadings.ts";
import { skaterSides } from "../../trials/skaterSides.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import type { CompareDetails } from "../compareDetails.ts";
import type { StudyAnswer } from "../studyAnswer.ts";
import { eachSkaterFigure } from "./eachSkaterFigure.ts";
import type { Figure } from "./figure.ts";
import { measuredTrials } from "./measuredTrials.ts";
import { orderOfDayFigure } from "./orderOfDayFigure.ts";
import { sidesFigure } from "./sidesFigure.ts";
import { stridesFigure } from "./stridesFigure.ts";
import { techniqueCheckFigure } from "./techniqueCheckFigure.ts";
import { timeAgainstFigure } from "./timeAgainstFigure.ts";
import { tracksFigure } from "./tracksFigure.ts";

/** The study's pictures; null where there is nothing to draw. */
export interface StudyFigures {
  readonly eachSkater: Figure | null;
  /** The same of what was measured, where no skater has times to compare. */
  readonly measured: Figure | null;
  readonly techniqueCheck: Figure | null;
  readonly tracks: Figure | null;
  readonly orderOfDay: Figure | null;
  readonly timeAgainst: Figure | null;
  readonly strides: Figure | null;
  readonly sides: Figure | null;
}

export interface FigureSources {
  readonly whole: WholeStudy;
  readonly names: Names;
  readonly answer: StudyAnswer;
  readonly measured: StudyAnswer | null;
  readonly details: CompareDetails;
  readonly readingOf: ReadingOf;
}

export function studyFigures({
  whole,
  names,
  answer,
  measured,
  details,
  readingOf,
}: FigureSources): StudyFigures {
  const { a, b, all, check } = answer;
  const counted = countedReadings(whole, readingOf);
  const trials = measuredTrials(check, counted);
  const measure = details.within.find((w) => w.line.value !== null)?.measure ?? "stride_width_m";
  const shown = sidesQuantity(answer);
  return {
    eachSkater: eachSkaterFigure(all, !answer.words.notTested),
    measured: measured && eachSkaterFigure(measured.all),
    techniqueCheck: techniqueCheckFigure(check),
    tracks: tracksFigure(trials, all),
    orderOfDay: orderOfDayFigure(all),
    timeAgainst: timeAgainstFigure(trials, measure, all),
    strides: stridesFigure(trials, all),
    sides: sidesFigure(skaterSides(whole.study, [a.id, b.id], shown, names, counted), all),
  };
}

/** What is compared, where a trial's sides have it; else what the techniques are asked by. */
function sidesQuantity({ all, check }: StudyAnswer): TrialQuantity {
  return all.quantity === "time_s" ? check.quantity : all.quantity;
}

/** What stands over each picture but the first two, which have questions of their own. */
export function figureTitle(which: keyof StudyFigures, answer: StudyAnswer): string {
  const titles: Readonly<Record<keyof StudyFigures, string>> = {
    eachSkater: "Each skater",
    measured: "Each skater",
    techniqueCheck: "Did they do what was asked?",
    tracks: "Both techniques on the ice",
    orderOfDay: "Did the day itself change it?",
    timeAgainst: "Time against what was measured, within skater",
    strides: "Every stride along the lane",
    sides: `Left against right: ${QUANTITY_WORDS[sidesQuantity(answer)].name}`,
  };
  return titles[which];
}
