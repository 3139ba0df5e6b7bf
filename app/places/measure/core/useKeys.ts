import { useEffect, useRef } from "react";
import { belongsElsewhere } from "../../../frame/keyOwner.ts";
import { firstFrame, lastFrame } from "../../../store/clipFrames.ts";
import { other } from "../guide/sequence.ts";
import { goToFrame, step } from "../guide/steps.ts";
import { answer, backOne, cannotSee, doMain } from "./actions.ts";
import { stepNow } from "./guideNow.ts";
import { createHeldStep } from "./heldStep.ts";
import { doScaleMain } from "./iceActions.ts";
import { goOnMarked, markedHere, toEvent } from "./markedHere.ts";
import { slower } from "./playOn.ts";
import { nudge, removeSelected, selectNext } from "./selection.ts";
import { settled } from "./settled.ts";
import { NO_TOOL } from "./tool.ts";
import type { Measuring } from "./useMeasure.ts";
import { startPlaying, stopPlaying, toggleLooping } from "./usePlay.ts";

/** The keys of the Measure place; `KeyList` names them on screen. */
export const KEYS: readonly (readonly [keys: string, does: string])[] = [
  ["← →", "one frame back, one frame on; with Shift ten; held down, on and on"],
  ["Home End", "first frame, last frame"],
  [", .", "event frame before, event frame after"],
  ["Enter", "this is the event frame (or go to the next one)"],
  ["P", "play, pause; a step, an answer or a press on the picture pauses too"],
  ["V", "how fast to play: as in life, half, a quarter"],
  ["O", "P plays the stride here over and over; again: the whole clip"],
  ["G", "go to the suggested frame"],
  ["S", "it is the other side"],
  ["U", "the stride sheet, once two strides a side are marked: look at what is suggested; again: back"],
  ["N", "the point asked for can't be seen"],
  ["Y N T", "yes, no, can't tell, where the answer is one of these"],
  ["Backspace", "ask for the point before again"],
  [
    "C",
    "a cursor on the picture while a point is asked for: arrows move it by 10 px, with Shift by 1 px, with Alt by 0.1 px; Enter puts the point; C or Esc ends it",
  ],
  ["X", "select the next mark on this frame"],
  ["Alt + arrows", "move the selected mark by 0.1 px; with Shift by 1 px"],
  ["Delete", "remove the selected mark, ice point or known length"],
  ["Esc", "let go: no mark selected, nothing being put"],
  [
    "press, let go",
    "put a point; dragged a little it is adjusted under the magnifier, with Shift held any way, five times finer",
  ],
  ["press, drag, let go", "a blade from heel to toe, both hips, an upper arm: both ends at once"],
  ["Ctrl + drag", "move a mark while another one is asked for; a blade or both hips by their middle"],
  ["wheel, + − 0", "zoom in, zoom out, whole picture"],
  ["Z", "the view follows the skater again, once blades are marked on two frames"],
  ["Space + drag", "move the zoomed picture (also the middle button)"],
  ["M", "metre grid on the ice"],
  ["L", "names of the marks"],
  ["Page Up, Page Down", "trial before, trial after"],
  ["Ctrl + Z, Ctrl + Shift + Z", "undo, redo"],
  ["?", "this list"],
];

const ARROWS: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Keys that mean the frame one looks at: while it runs on they only stop it. */
const STANDING = /^(Enter|Backspace|Delete|[cnstxy])$/i;

/** Frames a step key goes by. */
const STEPS: Record<string, 1 | -1> = { ArrowLeft: -1, ArrowRight: 1 };

export function useKeys(m: Measuring | null, toTrial: (by: 1 | -1) => void): void {
  const latest = useRef({ m, toTrial });
  latest.current = { m, toTrial };
  useEffect(() => {
    const held = createHeldStep(
      (by) => {
        const { m: now } = latest.current;
        if (now) step(now.session, now.index, by);
      },
      () => latest.current.m === null || settled(latest.current.m),
    );
    const onKey = (e: KeyboardEvent) => {
      const { m: now, toTrial: go } = latest.current;
      const arrow = !e.altKey && STEPS[e.key];
      // The system's repeats of a held key say nothing new: holding has its own pace.
      if (e.repeat && arrow && held.held) return e.preventDefault();
      held.release();
      if (!now || belongsElsewhere(e)) return;
      if (now.ui.getState().playing && STANDING.test(e.key)) {
        stopPlaying(now);
        return e.preventDefault();
      }
      if (arrow) held.press(arrow * (e.shiftKey ? 10 : 1));
      if (arrow || onKeyDown(e, now, go)) e.preventDefault();
    };
    const away = (e: KeyboardEvent) => {
      if (STEPS[e.key]) held.release();
    };
    window.addEventListener("keydown", onKey);
    window.addEventListener("keyup", away);
    const lettingGo = ["blur", "pointerdown", "visibilitychange"] as const;
    for (const type of lettingGo) window.addEventListener(type, held.release);
    return () => {
      held.release();
      window.removeEventListener("keydown", onKey);
      window.removeEventListener("keyup", away);
      for (const type of lettingGo) window.removeEventListener(type, held.release);
    };
  }, []);
}

/** True when the key was one of ours. */
function onKeyDown(e: KeyboardEvent, m: Measuring, toTrial: (by: 1 | -1) => void): boolean {
  const arrow = ARROWS[e.key];
  if (arrow && e.altKey) {
    const by = e.shiftKey ? 1 : 0.1;
    nudge(m, arrow[0] * by, arrow[1] * by);
    return true;
  }
  if (e.altKey) return false;
  switch (e.key) {
    case "Home":
      goToFrame(m.session, m.index, firstFrame(m.index));
      return true;
    case "End":
      goToFrame(m.session, m.index, lastFrame(m.index));
      return true;
    case ",":
    case ".":
      toEvent(m, e.key === "." ? 1 : -1);
      return true;
    case "PageUp":
    case "PageDown":
      toTrial(e.key === "PageDown" ? 1 : -1);
      return true;
    case "Delete":
      removeSelected(m);
      return true;
    case "Escape":
      m.ui.setState({ selected: null, tool: NO_TOOL });
      return true;
    case "?":
      m.ui.setState(({ keysShown }) => ({ keysShown: !keysShown }));
      return true;
  }
  return onLetter(e, m);
}

function onLetter(e: KeyboardEvent, m: Measuring): boolean {
  const key = e.key.toLowerCase();
  if (key === "m") m.ui.setState(({ grid }) => ({ grid: !grid }));
  else if (key === "x") selectNext(m);
  else if (key === "l") m.ui.setState(({ names }) => ({ names: !names }));
  else if (key === "p") m.ui.getState().playing ? stopPlaying(m) : startPlaying(m);
  else if (key === "v") m.ui.setState(({ pace }) => ({ pace: slower(pace) }));
  else if (key === "o") toggleLooping(m);
  else if (m.ui.getState().task === "scale") return onScaleKey(key, m);
  else if (onAnswer(key, m)) return true;
  else if (key === "enter") {
    const marked = markedHere(m);
    if (marked) goOnMarked(m, marked);
    else doMain(m);
  } else if (key === "backspace") backOne(m);
  else if (key === "n") cannotSee(m);
  else if (key === "g") {
    const now = stepNow(m);
    if (now.kind === "pick-event" && now.suggested !== null) goToFrame(m.session, m.index, now.suggested);
  } else if (key === "s") {
    const now = stepNow(m);
    if (now.kind === "pick-event")
      m.ui.setState({ tool: { kind: "ask-event", asked: { event: now.event, side: other(now.side) } } });
  } else return false;
  return true;
}

/** Enter: the copied scale fits, or the scale is done. */
function onScaleKey(key: string, m: Pick<Measuring, "session" | "ui" | "trial" | "picture">): boolean {
  if (key === "enter") doScaleMain(m);
  return key === "enter";
}

/** The keys of a question that is answered by yes, no, or can't tell. */
const ANSWERS: Readonly<Record<string, boolean | undefined>> = { y: true, n: false, t: undefined };

function onAnswer(key: string, m: Pick<Measuring, "session" | "ui" | "trial" | "index">): boolean {
  if (!Object.hasOwn(ANSWERS, key) || stepNow(m).kind !== "arm-question") return false;
  answer(m, ANSWERS[key]);
  return true;
}
