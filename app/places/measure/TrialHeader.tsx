import { Tooltip } from "@mantine/core";
import { useStore } from "zustand";
import type { ScaleSummary } from "../../../src/ice/types.ts";
import type { TrialReadings } from "../../../src/kinematics/types.ts";
import { countedReadings } from "../../../src/trials/countedReadings.ts";
import { trialAsAsked } from "../../../src/trials/techniqueCheck.ts";
import { iceMarkSd } from "../../../src/trials/trialInput.ts";
import { UndoButtons } from "../../frame/UndoButtons.tsx";
import type { Derived } from "../../store/readings.ts";
import { scaleOf, trialReading } from "../../store/readings.ts";
import { goToTrial } from "../../store/session.ts";
import { GateFrames } from "./clip/GateFrames.tsx";
import { currentStride } from "./core/currentStride.ts";
import { toTask } from "./core/tool.ts";
import { trialTitle } from "./core/trialView.ts";
import type { Measuring } from "./core/useMeasure.ts";
import { referenceWords } from "./scale/referenceWords.ts";
import { LEAST_POINTS } from "./scale/scaleAdvice.ts";
import { TrialMenu } from "./TrialMenu.tsx";

interface Props {
  readonly m: Measuring;
  readonly reading: Derived<TrialReadings>;
  readonly toTrial: (by: 1 | -1) => void;
}

/** Whose trial this is, its photocell time, what the scale is worth, and the ways to the next trial. */
export function TrialHeader({ m, reading, toTrial }: Props) {
  const { trials } = m.whole.study;
  const place = trials.indexOf(m.trial);
  return (
    <header className="trial-header">
      <div className="trial-title">
        <h1>
          {trialTitle(m.whole, m.trial)}{" "}
          {m.trial.time === null ? (
            <span className="quiet trial-untimed">no time yet</span>
          ) : (
            <span className="number trial-time">{photocellText(m.trial.time)} s</span>
          )}
        </h1>
        <div className="chips">
          <ScaleChip m={m} />
          <StrideChip m={m} reading={reading} />
          {!m.trial.valid && (
            <span className="chip" data-tone="care">
              not valid{m.trial.note ? `: ${m.trial.note}` : ""}
            </span>
          )}
          <GateFrames m={m} reading={reading} />
          <AsAskedChip m={m} reading={reading} />
          <UndoButtons session={m.session} />
        </div>
      </div>
      <nav className="trial-nav" aria-label="Trials">
        <label>
          <span className="visually-hidden">Trial</span>
          <select value={m.trial.id} onChange={(e) => goToTrial(m.session, e.currentTarget.value)}>
            {trials.map((t, i) => (
              <option key={t.id} value={t.id}>
                {i + 1} of {trials.length}: {trialTitle(m.whole, t)}
              </option>
            ))}
          </select>
        </label>
        <div>
          <button type="button" className="plain-button" disabled={place <= 0} onClick={() => toTrial(-1)}>
            Trial before
          </button>
          <button
            type="button"
            className="plain-button"
            disabled={place >= trials.length - 1}
            onClick={() => toTrial(1)}
          >
            Next trial
          </button>
          <TrialMenu m={m} />
        </div>
      </nav>
    </header>
  );
}

function ScaleChip({ m }: { m: Measuring }) {
  const task = useStore(m.ui, (s) => s.task);
  const { tone, words, why } = scaleWords(m);
  return (
    <Tooltip label={why}>
      <button
        type="button"
        className="chip"
        data-tone={tone}
        aria-pressed={task === "scale"}
        onClick={() => m.ui.setState(toTask(task === "scale" ? "strides" : "scale"))}
      >
        {words}
      </button>
    </Tooltip>
  );
}

/** Why a small misfit on the picture can be many centimetres on the ice and still do no harm. */
const FIT_ON_THE_ICE =
  "The fit is how far the ice points disagree. Far away a pixel covers many centimetres towards and away from the camera but few from side to side.";

function fitOnTheIce({ rmsAcross }: ScaleSummary): string {
  const across =
    rmsAcross === null
      ? ""
      : ` Across the lane, where widths lie, they disagree by ${(100 * rmsAcross).toFixed(1)} cm.`;
  return `${FIT_ON_THE_ICE}${across} What they leave open of the scale is part of every ±.`;
}

function scaleWords(m: Measuring): { tone: string | undefined; words: string; why: string } {
  const reference = m.marks.iceReference;
  const open = "Press to set or change the scale.";
  if (!reference)
    return {
      tone: "care",
      words: "Ice: no scale yet",
      why: `Without it there are times and rates, but no metres. ${open}`,
    };
  const count = referenceWords(reference);
  if (!m.marks.picture) return { tone: "care", words: `Ice: ${count}`, why: open };
  const scale = scaleOf(reference, m.marks.picture, iceMarkSd(m.whole));
  if (!scale.ok)
    return { tone: "bad", words: `Ice: ${count}, no scale`, why: `${scale.error.coach} ${open}` };
  const { summary } = scale.value;
  const fit =
    summary.rmsPx === null || summary.rms === null
      ? ""
      : summary.kind === "ice-points" && summary.points <= LEAST_POINTS
        ? ", too few to check the fit"
        : `, fit ${summary.rmsPx.toFixed(1)} px (${(100 * summary.rms).toFixed(1)} cm on the ice)`;
  const warned = summary.warnings.map((w) => w.text).join(" ");
  return {
    tone: warned ? "care" : undefined,
    words: `Ice: ${count}${reference.copiedFrom === undefined ? fit : ", copied, not checked here"}`,
    why: `${warned} ${fit && fitOnTheIce(summary)} ${open}`.trim(),
  };
}

function StrideChip({ m, reading }: Pick<Props, "m" | "reading">) {
  const stride = useStore(m.session, (s) =>
    reading.ok ? currentStride(reading.value.strides, s.frame) : null,
  );
  if (!reading.ok || !stride) return null;
  return (
    <span className="chip" data-tone="accent">
      Stride {stride.stride} of {reading.value.strides.length}
    </span>
  );
}

/** The time as it was read off, two decimals at least. */
function photocellText(seconds: number): string {
  const typed = String(Number(seconds.toFixed(4)));
  return (typed.split(".")[1]?.length ?? 0) >= 2 ? typed : seconds.toFixed(2);
}

const TONES = { yes: "good", no: "bad", "can't tell": "care" } as const;

/** Does the trial show the technique it was meant to show? */
function AsAskedChip({ m, reading }: Pick<Props, "m" | "reading">) {
  const technique = m.whole.study.techniques.find((t) => t.id === m.trial.technique);
  if (!technique || technique.asked.length === 0 || !reading.ok || reading.value.strides.length === 0)
    return null;
  const readings = countedReadings(m.whole, (id) => trialReading(m.whole, id));
  const { answer, why } = trialAsAsked(m.trial, technique, readings);
  return (
    <Tooltip label={why}>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the sentence must be within reach of the keyboard */}
      <span className="chip" data-tone={TONES[answer]} tabIndex={0}>
        As asked: {answer}
      </span>
    </Tooltip>
  );
}
