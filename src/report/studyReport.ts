import type { TrialMean } from "../kinematics/types.ts";
import { anchoringWords } from "../marks/anchoring.ts";
import type { TrialQuantity } from "../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { type Names, skaterLabels, techniqueLabels, typedText } from "../study/labels.ts";
import { lengthText } from "../study/length.ts";
import { eveningWords, planWords } from "../study/lockedPlan.ts";
import type { TimedStudy, TimedWhole } from "../study/timed.ts";
import { clockOf } from "../study/trialViews.ts";
import type { Study, Trial, WholeStudy } from "../study/types.ts";
import type { AsAskedAnswer } from "../trials/asAsked.ts";
import { withClipTimes } from "../trials/clipTime.ts";
import { clockQuestion } from "../trials/clockQuestion.ts";
import { CONTRADICTS, countedReadings } from "../trials/countedReadings.ts";
import { endGates } from "../trials/gateTime.ts";
import { timeText } from "../trials/readTime.ts";
import { placesOfTimes, shownTime } from "../trials/shownTime.ts";
import { type ReadingOf, trialAsAsked } from "../trials/techniqueCheck.ts";
import { studySds } from "../trials/trialInput.ts";
import { formatNumber, formatReading } from "../uncertainty/format.ts";
import { CAUTIONS } from "./cautions.ts";
import { fitWords, furtherMarking, type MarkedTrial, markingOf } from "./markedTrials.ts";
import { type OneTechnique, oneTechnique } from "./oneTechnique.ts";
import { type Refusal, refusals } from "./refusals.ts";
import { measuredAnswer, type StudyAnswer, studyAnswer } from "./studyAnswer.ts";

export interface ReportTrial {
  readonly order: number;
  readonly skater: string;
  readonly technique: string;
  readonly repeat: number;
  /** "4.87", seconds; "4.87 ± 0.03 by clip"; "no time". */
  readonly time: string;
  readonly byClip: boolean;
  /** Values ± u95 of `REPORTED`, or a dash where they could not be measured; `refused` says why. */
  readonly values: readonly string[];
  readonly asAsked: AsAskedAnswer | null;
  readonly note: string;
}

export interface StudyReport {
  readonly question: string;
  /** What was noted of the evening; null where nothing was. */
  readonly evening: string | null;
  /** A locked plan and what became of it. */
  readonly plan: readonly string[];
  readonly setting: readonly string[];
  readonly answer: StudyAnswer | null;
  /** Where there is one technique only. */
  readonly alone: OneTechnique | null;
  /** What was measured, compared, where no skater has times to compare; null where that can't be either. */
  readonly measured: StudyAnswer | null;
  readonly columns: readonly string[];
  readonly trials: readonly ReportTrial[];
  /** Scale and marks of each trial that has any. */
  readonly marking: readonly MarkedTrial[];
  /** What the fits among them mean for the numbers; null where there is none. */
  readonly fit: string | null;
  readonly refused: readonly Refusal[];
  readonly cautions: readonly string[];
  /** What somebody needs who wants to do it again. */
  readonly repeat: readonly string[];
}

/** Quantities with a column of their own in the table of trials. */
const REPORTED: readonly TrialQuantity[] = [
  "stride_width_m",
  "touchdown_to_track_midline_m",
  "stride_rate_hz",
];

/** A study as it is printed: everything said in words and numbers, nothing drawn. */
export function studyReport(given: WholeStudy, names: Names, readings: ReadingOf): StudyReport {
  const whole = withClipTimes(given);
  const { study } = whole;
  const readingOf = countedReadings(whole, readings);
  const skaters = skaterLabels(study, names);
  const techniques = techniqueLabels(study);
  const places = placesOfTimes(study.trials);
  const answer = studyAnswer(whole, "time_s", names, readings);
  const inOrder = study.trials.slice().sort((a, b) => a.order - b.order);
  return {
    question: typedText(study, study.question, names) || "Study",
    evening: eveningWords(study, names),
    plan: planWords(study, names),
    setting: setting(whole),
    answer,
    alone: oneTechnique(study, names),
    measured: measuredAnswer(whole, answer, names, readings),
    columns: REPORTED.map((q) => `${QUANTITY_WORDS[q].name}, ${QUANTITY_WORDS[q].unit}`),
    trials: inOrder.map((trial) => {
      const technique = study.techniques.find((t) => t.id === trial.technique);
      const reading = readingOf(trial.id);
      return {
        order: trial.order,
        skater: skaters.get(trial.skater) ?? trial.skater,
        technique: techniques.get(trial.technique) ?? trial.technique,
        repeat: trial.repeat,
        time: shownTime(trial, places),
        byClip: trial.clipSd !== undefined,
        values: REPORTED.map((q) => (reading.ok ? meanText(reading.value.trial[q]) : "–")),
        asAsked:
          technique && trial.clip !== undefined ? trialAsAsked(trial, technique, readingOf).answer : null,
        note: [
          trial.valid ? "" : "void",
          !reading.ok && reading.error.code === CONTRADICTS ? "clip does not fit the time" : "",
          clockWords(trial),
          typedText(study, trial.note ?? "", names),
        ]
          .filter((t) => t !== "")
          .join("; "),
      };
    }),
    marking: inOrder.flatMap((trial) => [
      ...markingOf(whole, trial, names, readingOf),
      ...furtherMarking(whole, trial, names, readingOf),
    ]),
    fit: fitWords(
      inOrder.flatMap(({ id }) => {
        const reading = readingOf(id);
        return reading.ok && reading.value.scale ? [reading.value.scale] : [];
      }),
    ),
    refused: refusals(whole, inOrder, names, readingOf),
    cautions: CAUTIONS,
    repeat: howToRepeat(study),
  };
}

/** How times by clips came about, where there are any. */
function clipTimesWords({ trials, lane }: TimedStudy): string[] {
  const byClip = trials.filter((t) => t.clipSd !== undefined).length;
  if (byClip === 0) return [];
  const [from, to] = endGates(lane)!.map((gate) => lengthText(gate, lane.unit));
  return [
    `${byClip} of ${trials.length} trials are timed by their clips: from the frames in which the front of the skater passes the lines at ${from} and ${to}, picked by eye. Their ± is part of every interval they are in; no photocells stand behind them.`,
  ];
}

function setting(whole: TimedWhole): string[] {
  const { lane, skaters, techniques } = whole.study;
  const { blades, hips } = studySds(whole);
  const again = blades.from === "repeat-marks" ? blades.repeats : null;
  const drawn = anchoringWords(Object.values(whole.marks).map((m) => m.marks));
  const gates = lane.gates.map((g) => lengthText(g, lane.unit)).join(", ");
  const asked = techniques.map((t) => {
    const bands = t.asked.map((b) => {
      const name =
        b.quantity in QUANTITY_WORDS ? QUANTITY_WORDS[b.quantity as TrialQuantity].name : b.quantity;
      const unit = b.quantity in QUANTITY_WORDS ? QUANTITY_WORDS[b.quantity as TrialQuantity].unit : "s";
      const edges = [
        ...(b.min === undefined ? [] : [`from ${b.min}`]),
        ...(b.max === undefined ? [] : [`up to ${b.max}`]),
      ];
      return `${name} ${edges.join(" ") || "any"} ${unit}`;
    });
    return `${t.name}${bands.length > 0 ? ` (${bands.join("; ")})` : ""}`;
  });
  return [
    `Lane: ${lane.distance > 0 ? lengthText(lane.distance, lane.unit) : "distance not said"}; gates at ${gates || "places not said"}; photocell beam: ${lane.gateBeam}; start: ${lane.start}.`,
    `Skaters: ${skaters.length}. Techniques: ${asked.join(", ") || "none"}.`,
    `One mark is taken to be good to ${again ? formatNumber(blades.sdPx, 2) : blades.sdPx} px (standard uncertainty per coordinate${again ? `, from ${again.points} points marked again` : ", as stated in the study"}), one of a hip to ${hips.from === "default" ? "what the hips of its own trial tell, else " : ""}${Number(hips.sdPx.toFixed(2))} px (${hips.from === "default" ? "a wide guess, as clothing hides it and no ten hips are marked again" : hips.from === "stated" ? "as stated" : "from hips marked again"}). Every ± is the half-width of a 95 % interval.`,
    ...clipTimesWords(whole.study),
    "Stride rate counts every push, left and right one by one; papers that count pairs give half of it.",
    ...(drawn ? [drawn] : []),
  ];
}

/** What the display showed, and in which frame of its clip that can be seen. */
function clockWords(trial: Trial): string {
  const clock = clockOf(trial);
  if (clock?.shows === undefined) return "";
  const differs = clockQuestion(trial) === null ? "" : ", unlike the time typed";
  return `the display shows ${timeText(clock.shows)} s in frame ${clock.frame} of its clip${differs}`;
}

function howToRepeat({ lane, runOrder, skaters, techniques, worthwhile }: Study): string[] {
  const gates = lane.gates.map((g) => lengthText(g, lane.unit)).join(" and ");
  return [
    `Set photocells at ${gates || "places along the lane that you note"}; the same start (${lane.start}) and beams (${lane.gateBeam}) for everybody.`,
    runOrder
      ? `Run order: blademark order --skaters ${skaters.length} --techniques "${techniques.map((t) => t.name).join(",")}" --repeats ${runOrder.repeats} --seed ${runOrder.seed} gives this one again.`
      : "The run order was not made here. Make a counterbalanced one in Plan, or with: blademark order.",
    "Camera as in the table of scales: still on its tripod, the whole lane and six or more ice points of known place in the picture.",
    "Mark the event frames and both ends of each blade on them; mark some again without seeing the first marks, so that marking shows its scatter.",
    worthwhile === null
      ? "The smallest difference that matters was taken as 0.2 of the spread between skaters."
      : `The smallest difference that matters was set at ${worthwhile} s. Set it before looking at the times.`,
    "All marks, event frames and ice points are in the tables beside this report (tables/); with the picture's size, the skater's body lengths and --trial, as the table of trials has them, the command blademark measure gives the same numbers from them. datapackage.json says what each column is.",
  ];
}

function meanText(mean: TrialMean): string {
  return "why" in mean ? "–" : formatReading({ value: mean.mean, u95: mean.u95 }, "");
}
