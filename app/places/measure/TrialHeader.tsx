import { Tooltip } from "@mantine/core";
import { useStore } from "zustand";
import type { TrialReadings } from "../../../src/kinematics/types.ts";
import { UndoButtons } from "../../frame/UndoButtons.tsx";
import type { Derived } from "../../store/readings.ts";
import { scaleOf } from "../../store/readings.ts";
import { goToTrial } from "../../store/session.ts";
import { speedText } from "../../store/time.ts";
import { currentStride } from "./currentStride.ts";
import { trialTitle } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

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
            <span className="number trial-time">{m.trial.time.toFixed(2)} s</span>
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
          {speedText(m.trial.speedFactor) && (
            <span className="chip" data-tone="care">
              {speedText(m.trial.speedFactor)}
            </span>
          )}
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
          <button
            type="button"
            className="plain-button"
            aria-label="Keys"
            onClick={() => m.ui.setState({ keysShown: true })}
          >
            ? Keys
          </button>
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
        onClick={() =>
          m.ui.setState({ task: task === "scale" ? "strides" : "scale", candidate: null, laying: null })
        }
      >
        {words}
      </button>
    </Tooltip>
  );
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
  const count =
    reference.kind === "ice-points"
      ? plural(reference.points.length, "point")
      : plural(reference.lengths.length, "known length");
  if (!m.marks.picture) return { tone: "care", words: `Ice: ${count}`, why: open };
  const scale = scaleOf(reference, m.marks.picture, m.whole.study.markSdPx);
  if (!scale.ok)
    return { tone: "bad", words: `Ice: ${count}, no scale`, why: `${scale.error.coach} ${open}` };
  const { summary } = scale.value;
  const fit =
    summary.rmsPx === null || summary.rms === null
      ? ""
      : `, fit ${summary.rmsPx.toFixed(1)} px = ${(100 * summary.rms).toFixed(1)} cm`;
  const warned = summary.warnings.map((w) => w.text).join(" ");
  return { tone: warned ? "care" : undefined, words: `Ice: ${count}${fit}`, why: `${warned} ${open}`.trim() };
}

function StrideChip({ m, reading }: Pick<Props, "m" | "reading">) {
  const frame = useStore(m.session, (s) => s.frame);
  if (!reading.ok || reading.value.strides.length === 0) return null;
  const stride = currentStride(reading.value.strides, frame);
  return (
    <span className="chip" data-tone="accent">
      Stride {stride?.stride} of {reading.value.strides.length}
    </span>
  );
}

export function plural(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? "" : "s"}`;
}
