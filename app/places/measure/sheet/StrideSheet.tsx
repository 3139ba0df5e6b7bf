import { Button } from "@mantine/core";
import { type ReactNode, useEffect, useRef, useState } from "react";
import { useStore } from "zustand";
import type { EventFrame, TrialMarks } from "../../../../src/study/types.ts";
import { belongsElsewhere } from "../../../frame/keyOwner.ts";
import { firstFrame, lastFrame } from "../../../store/clipFrames.ts";
import { FIRST_PASS } from "../core/pass.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { Key } from "../guide/AskStrip.tsx";
import { stillStanding } from "./found.ts";
import { Sheet } from "./Sheet.tsx";
import { sheetNewsOf } from "./sheetNews.ts";
import { hasMore } from "./sheetStrides.ts";
import { type Suggesting, taughtSides, useSuggestions } from "./useSuggestions.ts";
import { Waiting } from "./Waiting.tsx";
import "./sheet.css";

const TAUGHT = 2;
const isTaught = (marks: TrialMarks) => {
  const { left, right } = taughtSides(marks);
  return Math.min(left, right) >= TAUGHT;
};
const IDLE: Suggesting = { kind: "idle" };

/** The picture, or in its place the stride sheet. */
export function StrideSheet({ m, children }: { m: Measuring; children: ReactNode }) {
  const pass = useStore(m.ui, (s) => s.pass);
  const wanted = useStore(m.ui, (s) => s.sheetOpen && s.task === "strides");
  const [picked, setPicked] = useState<readonly EventFrame[]>([]);
  const trial = m.trial.id;
  const isOffered = useIsOffered(m);
  const isOpen = wanted && pass === FIRST_PASS && !m.readOnly;
  const justTaught = useJustTaught(trial, isTaught(m.marks)) && isOffered;
  const looking = useStore(m.ui, (s) => s.sheetLooking);
  const isBehind = looking === null ? justTaught : looking && isOffered;
  const { state, news, isCurrent } = useSuggestions(m, isOpen || isBehind, picked);
  const told = news?.kind === "looking" ? news.news : null;
  useEffect(() => sheetNewsOf(m.ui).setState({ news: told }), [m.ui, told]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: what was picked belongs to one look at one trial
  useEffect(() => setPicked([]), [isOpen, trial]);
  if (!isOpen) return children;
  const close = () => m.ui.setState({ sheetOpen: false });
  const leave = (sheetLooking: boolean) => () => m.ui.setState({ sheetOpen: false, sheetLooking });
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
  return (
    <Waiting
      state={news ?? (state.kind === "found" ? IDLE : state)}
      onMeanwhile={leave(true)}
      onStop={leave(false)}
    />
  );
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
    isTaught(m.marks) &&
    hasMore(m.marks, firstFrame(m.index), lastFrame(m.index))
  );
}

/** Under the question, once two strides a side are taught: the way to the stride sheet, and how far looking is meanwhile. */
export function SheetOffer({ m }: { m: Pick<Measuring, "ui" | "marks" | "index" | "readOnly"> }) {
  const isOffered = useIsOffered(m);
  const news = useStore(sheetNewsOf(m.ui), (s) => s.news);
  const open = () => m.ui.setState({ sheetOpen: true });
  useOpenKey(isOffered, open);
  if (!isOffered) return <FewTaught m={m} />;
  return (
    <>
      <Button
        size="compact-md"
        variant="light"
        className="sheet-offer"
        onClick={open}
        title="Two strides a side are marked: the rest can be suggested, for you to look at."
      >
        Look at suggestions <Key>U</Key>
      </Button>
      {news && (
        <>
          <span className="quiet number" role="status" title="Looking for suggestions; you can mark on.">
            {news.done} of {news.of} frames
          </span>
          <button
            type="button"
            className="plain-button"
            aria-label="Stop looking"
            onClick={() => m.ui.setState({ sheetLooking: false })}
          >
            Stop
          </button>
        </>
      )}
    </>
  );
}

/** With a stride marked, and not yet two of each side: that the rest could be suggested then. */
function FewTaught({ m }: { m: Pick<Measuring, "ui" | "marks" | "index" | "readOnly"> }) {
  const task = useStore(m.ui, (s) => s.task);
  const pass = useStore(m.ui, (s) => s.pass);
  const { left, right } = taughtSides(m.marks);
  const isMore = m.index !== null && hasMore(m.marks, firstFrame(m.index), lastFrame(m.index));
  if (task !== "strides" || pass !== FIRST_PASS || m.readOnly || left + right === 0 || !isMore) return null;
  if (Math.min(left, right) >= TAUGHT) return null;
  return (
    <span
      className="quiet number sheet-few"
      title="Once two whole strides of each side are marked, the rest of the trial can be suggested."
    >
      Suggestions: left {Math.min(left, TAUGHT)} of {TAUGHT}, right {Math.min(right, TAUGHT)} of {TAUGHT}
    </span>
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
