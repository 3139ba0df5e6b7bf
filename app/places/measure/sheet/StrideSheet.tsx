import { Progress } from "@mantine/core";
import { type ReactNode, useEffect, useRef, useState } from "react";
import { useStore } from "zustand";
import type { EventFrame } from "../../../../src/study/types.ts";
import { belongsElsewhere } from "../../../frame/keyOwner.ts";
import { firstFrame, lastFrame } from "../../../store/clipFrames.ts";
import { FIRST_PASS } from "../core/pass.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { Key } from "../guide/AskStrip.tsx";
import { stillStanding } from "./found.ts";
import { Sheet } from "./Sheet.tsx";
import { hasMore } from "./sheetStrides.ts";
import { type Suggesting, taughtSides, useSuggestions } from "./useSuggestions.ts";
import "./sheet.css";

const TAUGHT = 2;
const IDLE: Suggesting = { kind: "idle" };

/** The picture, or in its place the stride sheet. */
export function StrideSheet({ m, children }: { m: Measuring; children: ReactNode }) {
  const pass = useStore(m.ui, (s) => s.pass);
  const wanted = useStore(m.ui, (s) => s.sheetOpen && s.task === "strides");
  const [picked, setPicked] = useState<readonly EventFrame[]>([]);
  const trial = m.trial.id;
  const isOffered = useIsOffered(m);
  const isOpen = wanted && pass === FIRST_PASS && !m.readOnly;
  const justTaught = useJustTaught(trial, taughtSides(m.marks) >= TAUGHT) && isOffered;
  const { state, news, isCurrent } = useSuggestions(m, isOpen || justTaught, picked);
  // biome-ignore lint/correctness/useExhaustiveDependencies: what was picked belongs to one look at one trial
  useEffect(() => setPicked([]), [isOpen, trial]);
  if (!isOpen) return children;
  const close = () => m.ui.setState({ sheetOpen: false });
  if (state.kind === "found" && state.asked.trial === trial)
    return (
      <Sheet
        key={trial}
        m={m}
        found={stillStanding(state.found, state.asked.marks, m.marks.marks)}
        isLooking={!isCurrent}
        onPicked={setPicked}
        onClose={close}
      />
    );
  return <Waiting state={news ?? (state.kind === "found" ? IDLE : state)} onClose={close} />;
}

/** Whether suggestions can be looked at. */
function useIsOffered(m: Pick<Measuring, "ui" | "marks" | "index" | "readOnly">): boolean {
  const task = useStore(m.ui, (s) => s.task);
  const pass = useStore(m.ui, (s) => s.pass);
  // Whoever marks again never sees a suggestion.
  return (
    task === "strides" &&
    pass === FIRST_PASS &&
    !m.readOnly &&
    m.index?.countIsExact === true &&
    taughtSides(m.marks) >= TAUGHT &&
    hasMore(m.marks, firstFrame(m.index), lastFrame(m.index))
  );
}

/** Under the question, once two strides a side are taught: the way to the stride sheet. */
export function SheetOffer({ m }: { m: Pick<Measuring, "ui" | "marks" | "index" | "readOnly"> }) {
  const isOffered = useIsOffered(m);
  const open = () => m.ui.setState({ sheetOpen: true });
  useOpenKey(isOffered, open);
  if (!isOffered) return null;
  return (
    <button
      type="button"
      className="plain-button"
      onClick={open}
      title="Two strides a side are marked: the rest can be suggested, for you to look at."
    >
      Look at suggestions <Key>U</Key>
    </button>
  );
}

/** Two strides a side were taught while this window was looking: the rest is looked for in the background. */
function useJustTaught(trial: string, isTaught: boolean): boolean {
  const was = useRef({ trial, isTaught });
  const [just, setJust] = useState<string | null>(null);
  useEffect(() => {
    if (was.current.trial === trial && !was.current.isTaught && isTaught) setJust(trial);
    was.current = { trial, isTaught };
  }, [trial, isTaught]);
  return just === trial;
}

function useOpenKey(isOn: boolean, open: () => void): void {
  const latest = useRef(open);
  latest.current = open;
  useEffect(() => {
    if (!isOn) return;
    const onKey = (e: KeyboardEvent) => {
      if (e.key.toLowerCase() !== "u" || e.altKey || belongsElsewhere(e)) return;
      e.preventDefault();
      latest.current();
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, [isOn]);
}

function Going({ state }: { state: Suggesting }) {
  const news = state.kind === "looking" ? state.news : null;
  const share = news && news.of > 0 ? (100 * news.done) / news.of : 0;
  return <Progress value={share} className="sheet-progress" aria-label="Following the skater" />;
}

function Waiting({ state, onClose }: { state: Suggesting; onClose(): void }) {
  const news = state.kind === "looking" ? state.news : null;
  return (
    <section className="card sheet-empty" aria-label="Stride sheet">
      {state.kind === "failed" ? (
        <p>{state.why}</p>
      ) : (
        <>
          <h2>
            {news?.doing === "preparing" ? "Preparing the clip …" : "Following the skater through the clip …"}
          </h2>
          <Going state={state} />
          <p className="quiet">{news ? `${news.done} of ${news.of} frames` : "A moment"}</p>
        </>
      )}
      <button type="button" className="plain-button" onClick={onClose}>
        {state.kind === "failed" ? "Back to the picture (U)" : "Stop, and back to the picture (U)"}
      </button>
    </section>
  );
}
