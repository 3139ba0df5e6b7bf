import { useState } from "react";
import { useStore } from "zustand";
import { PLACE_NAMES } from "../../src/study/places.ts";
import { type FirstStep, type FirstStepsStore, stepsOf } from "../store/firstSteps.ts";
import { goToPlace, goToTrial, type Session } from "../store/session.ts";
import { firstUnmarked } from "../store/trialState.ts";

interface Props {
  readonly session: Session;
  readonly steps: FirstStepsStore;
}

/** One line over the place that says what comes next for who is new here; it can be left at any time. */
export function FirstSteps({ session, steps }: Props) {
  const whole = useStore(session, (s) => s.whole);
  const { shown, seen } = useStore(steps);
  const [listed, setListed] = useState(false);
  if (!shown) return null;
  const all = stepsOf(whole, seen);
  const done = (step: FirstStep) => seen.includes(step.key);
  const next = all.find((step) => !done(step));
  const show = (step: FirstStep) => {
    if (!step.did && !done(step)) steps.setState({ seen: [...seen, step.key] });
    const trial = step.place === "measure" && !done(step) ? firstUnmarked(whole) : null;
    if (trial) goToTrial(session, trial.id);
    goToPlace(session, step.place);
  };
  return (
    <section className="card first-steps screen-only" aria-label="First steps">
      <div className="first-steps-line">
        <p>
          <strong>First steps</strong>{" "}
          <span className="quiet number">
            {all.filter(done).length}/{all.length}
          </span>{" "}
          {next
            ? next.words(whole)
            : "That was all. A word with a dotted line under it explains itself; ? lists the keys of Measure."}
        </p>
        {next && (
          <button type="button" className="plain-button" onClick={() => show(next)}>
            Show me
          </button>
        )}
        <button
          type="button"
          className="plain-button"
          aria-expanded={listed}
          onClick={() => setListed(!listed)}
        >
          {listed ? "Fold the list" : "List them all"}
        </button>
        <button type="button" className="plain-button" onClick={() => steps.setState({ shown: false })}>
          {next ? "Leave" : "Close"}
        </button>
      </div>
      {listed && (
        <ol className="first-steps-list">
          {all.map((step) => (
            <li key={step.key}>
              <span className={done(step) ? "good" : "quiet"}>{done(step) ? "✓ done" : "open"}</span>
              <span className="quiet">{PLACE_NAMES[step.place]}</span>
              <span>{step.words(whole)}</span>
              <button
                type="button"
                className="plain-button"
                aria-label={`Show me: ${step.words(whole)}`}
                onClick={() => show(step)}
              >
                Show
              </button>
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}
