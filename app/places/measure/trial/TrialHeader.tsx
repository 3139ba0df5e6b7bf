import { Tooltip } from "@mantine/core";
import { useStore } from "zustand";
import type { ScaleSummary } from "../../../../src/ice/types.ts";
import type { TrialReadings } from "../../../../src/kinematics/types.ts";
import { trialLabel } from "../../../../src/study/labels.ts";
import { trialOfView } from "../../../../src/study/trialViews.ts";
import type { Trial, TrialMarks, WholeStudy } from "../../../../src/study/types.ts";
import { withClipTimes } from "../../../../src/trials/clipTime.ts";
import { countedReadings } from "../../../../src/trials/countedReadings.ts";
import { spokenTime } from "../../../../src/trials/shownTime.ts";
import { trialAsAsked } from "../../../../src/trials/techniqueCheck.ts";
import { UndoButtons } from "../../../frame/UndoButtons.tsx";
import type { Derived } from "../../../store/readings.ts";
import { wholeReading } from "../../../store/readings.ts";
import { trialState } from "../../../store/trialState.ts";
import { BesideSwitch } from "../beside/BesideSwitch.tsx";
import { GateFrames } from "../clip/GateFrames.tsx";
import { iceScale } from "../core/iceScale.ts";
import type { MeasureStore } from "../core/measureState.ts";
import { toTask } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { referenceWords } from "../scale/referenceWords.ts";
import { LEAST_POINTS } from "../scale/scaleAdvice.ts";
import { isUnchecked, sharedScale } from "../scale/scaleHere.ts";
import { ClockTie } from "./ClockTie.tsx";
import { TrialMenu } from "./TrialMenu.tsx";
import { TrialPicker } from "./TrialPicker.tsx";
import { ViewSwitch } from "./ViewSwitch.tsx";

interface Props {
  readonly m: Measuring;
  readonly reading: Derived<TrialReadings>;
  readonly toTrial: (by: 1 | -1) => void;
}

/** Whose trial this is, its photocell time, what the scale is worth, and the ways to the other trials. */
export function TrialHeader({ m, reading, toTrial }: Props) {
  const { trial, whole } = m;
  const run = trialOfView(whole.study, trial.id) ?? trial;
  return (
    <header className="trial-header">
      <h1>
        {trialLabel(whole.study, trial.id)}{" "}
        {trial.time === null ? (
          <UntimedWords whole={whole} trial={run} />
        ) : (
          <span className="number trial-time">{photocellText(trial.time)} s</span>
        )}
      </h1>
      <div className="trial-ways">
        <ViewSwitch m={m} />
        <BesideSwitch m={m} />
        <TrialPicker session={m.session} whole={whole} trial={run.id} toTrial={toTrial} />
        <TrialMenu m={m} />
      </div>
      <div className="chips">
        <ScaleChip ui={m.ui} whole={whole} marks={m.marks} />
        <ClockTie m={m} />
        {!trial.valid && (
          <span className="chip" data-tone="care">
            not valid{trial.note ? `: ${trial.note}` : ""}
          </span>
        )}
        <GateFrames m={m} reading={reading} />
        <AsAskedChip whole={whole} trial={run} reading={reading} />
        <UndoButtons session={m.session} />
      </div>
    </header>
  );
}

interface ScaleChipProps {
  readonly ui: MeasureStore;
  readonly whole: WholeStudy;
  readonly marks: TrialMarks;
}

function ScaleChip({ ui, whole, marks }: ScaleChipProps) {
  const task = useStore(ui, (s) => s.task);
  const { tone, words, why } = scaleWords(whole, marks);
  return (
    <Tooltip label={why}>
      <button
        type="button"
        className="chip"
        data-tone={tone}
        aria-pressed={task === "scale"}
        onClick={() => ui.setState(toTask(task === "scale" ? "strides" : "scale"))}
      >
        {words}
      </button>
    </Tooltip>
  );
}

/** Why a small misfit on the picture can be many centimetres on the ice and still do no harm. */
const FIT_ON_THE_ICE =
  "The fit is how far the ice points disagree. Far away a pixel covers many centimetres towards and away from the camera but few from side to side.";

function fitOnTheIce({ rms, rmsAcross }: ScaleSummary): string {
  const across =
    rmsAcross === null
      ? ""
      : ` Across the lane, where widths lie, they disagree by ${(100 * rmsAcross).toFixed(1)} cm.`;
  const along = rms === null ? "" : ` ${(100 * rms).toFixed(1)} cm on the ice here.`;
  return `${FIT_ON_THE_ICE}${along}${across} What they leave open of the scale is part of every ±.`;
}

function scaleWords(
  whole: WholeStudy,
  marks: TrialMarks,
): { tone: string | undefined; words: string; why: string } {
  const reference = marks.iceReference;
  const shared = sharedScale(whole, marks.trial);
  const open = "Press to set or change the scale.";
  if (!reference && !shared)
    return {
      tone: undefined,
      words: "Ice: no scale yet",
      why: `Without it there are times and rates, but no metres. ${open}`,
    };
  const count = shared ? `scale of “${shared.name}”` : reference ? referenceWords(reference) : "";
  const scale = iceScale(whole, marks.trial, marks.picture);
  if (!scale) return { tone: undefined, words: `Ice: ${count}`, why: open };
  if (!scale.ok)
    return { tone: "bad", words: `Ice: ${count}, no scale`, why: `${scale.error.coach} ${open}` };
  const { summary } = scale.value;
  const fit =
    summary.rmsPx === null || summary.rms === null
      ? ""
      : summary.kind === "ice-points" && !shared && summary.points <= LEAST_POINTS
        ? ", too few to check the fit"
        : `, fit ${summary.rmsPx.toFixed(1)} px`;
  const warned = summary.warnings.map((w) => w.text).join(" ");
  return {
    tone: warned ? "care" : undefined,
    words: `Ice: ${count}${isUnchecked(whole, marks.trial) ? ", not checked here" : fit}`,
    why: `${warned} ${fit && fitOnTheIce(summary)} ${open}`.trim(),
  };
}

/** Without a photocell time: the clip's own where it is to count, marked as that. */
function UntimedWords({ whole, trial }: { whole: WholeStudy; trial: Trial }) {
  const timed = withClipTimes(whole).study.trials.find((t) => t.id === trial.id);
  if (!timed || timed.time === null) return <span className="quiet trial-untimed">no time yet</span>;
  return <span className="number trial-time">{spokenTime(timed, 2)}</span>;
}

/** The time as it was read off, two decimals at least. */
function photocellText(seconds: number): string {
  const typed = String(Number(seconds.toFixed(4)));
  return (typed.split(".")[1]?.length ?? 0) >= 2 ? typed : seconds.toFixed(2);
}

const TONES = { yes: "good", no: "bad", "can't tell": undefined } as const;

interface AsAskedProps {
  readonly whole: WholeStudy;
  readonly trial: Trial;
  readonly reading: Derived<TrialReadings>;
}

/** Does the trial show the technique it was meant to show? Said once a stride has a width: before, nothing speaks for it. */
function AsAskedChip({ whole, trial, reading }: AsAskedProps) {
  const technique = whole.study.techniques.find((t) => t.id === trial.technique);
  if (!technique || technique.asked.length === 0 || !reading.ok) return null;
  const readings = countedReadings(whole, (id) => wholeReading(whole, id));
  const { answer, why } = trialAsAsked(trial, technique, readings);
  const tellable = trialState(trial, whole.marks[trial.id]).kind === "marked";
  if (answer === "can't tell" && !tellable) return null;
  return (
    <Tooltip label={why}>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the sentence must be within reach of the keyboard */}
      <span className="chip" data-tone={TONES[answer]} tabIndex={0}>
        As asked: {answer}
      </span>
    </Tooltip>
  );
}
