import { useEffect, useState } from "react";
import { useStore } from "zustand";
import { lastFrame, timeOf } from "../../../store/clipFrames.ts";
import { timeText } from "../../../store/time.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { goToFrame, step } from "../guide/steps.ts";

const WHOLE = /^\s*\d+\s*$/;

/** Which frame this is, when it is, and the ways to another one. */
export function FrameBar({ m }: { m: Pick<Measuring, "session" | "aim" | "trial" | "index"> }) {
  const frame = useStore(m.session, (s) => s.frame);
  const { index } = m;
  const [typed, setTyped] = useState<string | null>(null);
  const [refused, setRefused] = useState<string | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a step elsewhere ends the typing
  useEffect(() => {
    setTyped(null);
    setRefused(null);
  }, [frame]);
  const time = timeOf(index, frame);
  const last = lastFrame(index);
  const go = () => {
    if (typed === null) return;
    const isWhole = WHOLE.test(typed);
    if (isWhole) goToFrame(m.session, index, Number(typed));
    setRefused(isWhole || typed.trim() === "" ? null : typed.trim());
    setTyped(null);
  };
  return (
    <div className="frame-bar">
      <button
        type="button"
        title="One frame back (left arrow; with Shift ten)"
        onClick={() => step(m.session, index, -1)}
        aria-label="One frame back"
      >
        ‹
      </button>

      <label>
        <span className="frame-word">frame </span>
        <input
          className="number"
          inputMode="numeric"
          size={String(last).length + 1}
          value={typed ?? String(frame)}
          data-testid="frame-field"
          aria-invalid={refused !== null}
          onChange={({ currentTarget: { value } }) => {
            setTyped(value);
            setRefused(null);
            m.aim.at(WHOLE.test(value) ? Number(value) : null);
          }}
          onFocus={(e) => e.currentTarget.select()}
          onBlur={go}
          onKeyDown={(e) => {
            if (e.key === "Enter") go();
            if (e.key === "Escape") setTyped(null);
          }}
        />
      </label>
      <span className="quiet number">
        {last === 0 && !index?.countIsExact
          ? "end not known yet"
          : `${index?.countIsExact ? "to" : "to about"} ${last}`}
      </span>
      {refused !== null && (
        <span className="care" role="alert">
          “{refused}” is no frame: frames are whole numbers.
        </span>
      )}
      <button
        type="button"
        title="One frame on (right arrow; with Shift ten)"
        onClick={() => step(m.session, index, 1)}
        aria-label="One frame on"
      >
        ›
      </button>

      <strong className="number">
        {time === undefined ? "time not known yet" : timeText(time, m.trial.speedFactor)}
      </strong>
    </div>
  );
}
