import { useComputedColorScheme, useMantineColorScheme } from "@mantine/core";
import { useEffect, useRef, useState } from "react";
import { useStore } from "zustand";
import { PLACE_NAMES, PLACES, type Place } from "../../src/study/places.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import type { Autosave } from "../store/autosave.ts";
import type { FirstStepsStore } from "../store/firstSteps.ts";
import { countMeasured, type PlaceStatus, placeStatus } from "../store/progress.ts";
import { goToPlace, type Session, showBeside } from "../store/session.ts";
import { SavedWords } from "./SavedWords.tsx";

interface BarProps {
  readonly session: Session;
  readonly autosave: Autosave;
  readonly steps: FirstStepsStore;
}

/** The places in the order of the day, each with what is done or missing; at the foot, whether all is saved. */
export function Bar({ session, autosave, steps }: BarProps) {
  const place = useStore(session, (s) => s.place);
  const beside = useStore(session, (s) => s.beside);
  const whole = useStore(session, (s) => s.whole);
  const status: Record<Place, PlaceStatus> = placeStatus(whole, useMeasured(whole));
  return (
    <nav className="bar" aria-label="Places">
      <div className="bar-name">Blademark</div>
      <button
        type="button"
        className="bar-scheme"
        aria-pressed={beside === "studies"}
        title="Open another study, make a new one, or the next evening of this one"
        onClick={() => showBeside(session, beside === "studies" ? null : "studies")}
      >
        Studies
      </button>
      <button
        type="button"
        className="bar-scheme"
        aria-pressed={beside === "season"}
        title="Several evenings as one answer, and each skater through them"
        onClick={() => showBeside(session, beside === "season" ? null : "season")}
      >
        Season
      </button>
      {PLACES.map((p) => (
        <button
          key={p}
          type="button"
          className="bar-place"
          aria-current={p === place && beside === null ? "page" : undefined}
          onClick={() => goToPlace(session, p)}
          title={status[p].next}
        >
          {PLACE_NAMES[p]}
          <small>{status[p].words}</small>
        </button>
      ))}
      <div className="bar-foot">
        <FirstStepsButton steps={steps} />
        <SchemeButton />
        <SavedWords session={session} autosave={autosave} />
      </div>
    </nav>
  );
}

/** The place itself comes first when a study is opened. */
const FIRST_COUNT_MS = 2000;
/** Who marks on does not wait for the other trials; what did not change costs next to nothing. */
const COUNT_AGAIN_MS = 300;

/** How many trials are measured, as it was until it is counted anew; null before the first count. */
function useMeasured(whole: WholeStudy): number | null {
  const [measured, setMeasured] = useState<number | null>(null);
  const begun = useRef(false);
  useEffect(() => {
    let stopped = false;
    const timer = setTimeout(
      async () => {
        begun.current = true;
        const count = await countMeasured(whole, () => stopped);
        if (count !== null) setMeasured(count);
      },
      begun.current ? COUNT_AGAIN_MS : FIRST_COUNT_MS,
    );
    return () => {
      stopped = true;
      clearTimeout(timer);
    };
  }, [whole]);
  return measured;
}

function FirstStepsButton({ steps }: { steps: FirstStepsStore }) {
  const shown = useStore(steps, (s) => s.shown);
  return (
    <button
      type="button"
      className="bar-scheme"
      aria-pressed={shown}
      onClick={() => steps.setState({ shown: !shown })}
    >
      First steps
    </button>
  );
}

function SchemeButton() {
  const { setColorScheme } = useMantineColorScheme();
  const now = useComputedColorScheme("light");
  const next = now === "dark" ? "light" : "dark";
  return (
    <button type="button" className="bar-scheme" onClick={() => setColorScheme(next)}>
      {next === "dark" ? "Dark" : "Light"}
      <span className="visually-hidden"> colours</span>
    </button>
  );
}
