import { useEffect, useRef } from "react";
import { useStore } from "zustand";
import { firstFrame, lastFrame, timeOf } from "../../../store/clipFrames.ts";
import { goToFrame } from "../guide/steps.ts";
import { type Played, type Playhead, playOn, strideAround } from "./playOn.ts";
import { settled } from "./settled.ts";
import { trialMarks } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

/** A window that was busy for longer goes on from where it was, seconds. */
const LONGEST_GAP_S = 0.25;

export function stopPlaying({ ui }: Pick<Measuring, "ui">): void {
  if (ui.getState().playing) ui.setState({ playing: false });
}

/** From now on P plays the stride here over and over, or again the clip; nothing where no stride is known here. */
export function toggleLooping(m: Pick<Measuring, "session" | "ui" | "trial">): void {
  const { whole, frame } = m.session.getState();
  const looping = !m.ui.getState().looping;
  if (looping && strideAround(trialMarks(whole, m.trial.id).events, frame) === null) return;
  m.ui.setState({ looping, playing: false });
}

/** What is played: the stride around this frame over and over, or the clip as far as there is any. */
function playedNow(m: Pick<Measuring, "session" | "ui" | "trial" | "index">): Played {
  const { whole, frame } = m.session.getState();
  const stride = m.ui.getState().looping ? strideAround(trialMarks(whole, m.trial.id).events, frame) : null;
  return stride ?? { first: firstFrame(m.index), last: lastFrame(m.index) };
}

/** From here on, or from the start where this is the end or outside what is to be played. */
export function startPlaying(m: Pick<Measuring, "session" | "ui" | "trial" | "index">): void {
  const { first, last } = playedNow(m);
  const { frame } = m.session.getState();
  if (frame < first || frame >= last) goToFrame(m.session, m.index, first);
  m.ui.setState({ playing: true });
}

/**
 * Plays while the state says so, in the pace of the clip's own times. It waits for each picture to be on the canvas, so it
 * is slow rather than wrong; whatever else moves in time, or any press, ends it.
 */
export function usePlay(m: Measuring): void {
  const playing = useStore(m.ui, (s) => s.playing);
  const latest = useRef(m);
  latest.current = m;
  useEffect(() => {
    if (!playing) return;
    const { session, ui } = latest.current;
    const start = session.getState().frame;
    const played = playedNow(latest.current);
    let head: Playhead = { frame: start, clock: timeOf(latest.current.index, start) ?? 0 };
    let before = performance.now();
    let asked = requestAnimationFrame(tick);

    function tick(now: number): void {
      const { index, trial } = latest.current;
      const seconds = Math.min(LONGEST_GAP_S, (now - before) / 1000);
      before = now;
      if (session.getState().frame !== head.frame) {
        // Somebody went elsewhere.
        stopPlaying({ ui });
        return;
      }
      asked = requestAnimationFrame(tick);
      if (!settled(latest.current)) return;
      const { pace, looping } = ui.getState();
      const next = playOn(head, seconds * pace * trial.speedFactor, played, (f) => timeOf(index, f));
      if (!next && !looping) {
        stopPlaying({ ui });
        return;
      }
      head = next ?? { frame: played.first, clock: timeOf(index, played.first) ?? 0 };
      goToFrame(session, index, head.frame);
    }

    const onPress = (e: PointerEvent) => {
      const onBar = e.target instanceof Element && e.target.closest(".play") !== null;
      if (!onBar) ui.setState({ playing: false });
    };
    // At the end of a press: until then nothing is asked for, so that it puts nothing.
    window.addEventListener("pointerup", onPress, true);
    return () => {
      cancelAnimationFrame(asked);
      window.removeEventListener("pointerup", onPress, true);
    };
  }, [playing]);
}
