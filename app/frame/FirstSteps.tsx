import { useState } from "react";
import { useStore } from "zustand";
import { PLACE_NAMES } from "../../src/study/places.ts";
import { FIRST_STEPS, type FirstStep, type FirstStepsStore, isDone } from "../store/firstSteps.ts";
import { goToPlace, type Session } from "../store/session.ts";

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
  const done = (step: FirstStep) => isDone(step, whole, seen);
  const next = FIRST_STEPS.find((step) => !done(step));
  const show = (step: FirstStep) => {
    if (!step.done && !seen.includes(step.key)) steps.setState({ seen: [...seen, step.key] });
    goToPlace(session, step.place);
  };
  return (
    <section className="card first-steps screen-only" aria-label="First steps">
      <div className="first-steps-line">
        <p>
          <strong>First steps</strong>{" "}
          <span className="quiet number">
            {FIRST_STEPS.filter(done).length}/{FIRST_STEPS.length}
          </span>{" "}
          {next ? next.words : "All done. A word with a dotted line under it explains itself."}
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
          Leave
        </button>
      </div>
      {listed && (
        <ol className="first-steps-list">
          {FIRST_STEPS.map((step) => (
            <li key={step.key}>
              <span className={done(step) ? "good" : "quiet"}>{done(step) ? "✓ done" : "open"}</span>
              <span className="quiet">{PLACE_NAMES[step.place]}</span>
              <span>{step.words}</span>
              <button
                type="button"
                className="plain-button"
                aria-label={`Show me: ${step.words}`}
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
