import { useStore } from "zustand";
import { PACES, type Pace, strideAround } from "../core/playOn.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { startPlaying, stopPlaying } from "../core/usePlay.ts";

const PACE_WORDS: Record<Pace, string> = { 1: "1", 0.5: "½", 0.25: "¼" };

/** Plays the clip, as fast as in life or slower, all of it or one stride over and over. */
export function PlayBar({ m }: { m: Measuring }) {
  const playing = useStore(m.ui, (s) => s.playing);
  const pace = useStore(m.ui, (s) => s.pace);
  const looping = useStore(m.ui, (s) => s.looping);
  const canLoop = strideAround(m.marks.events, 0) !== null;
  return (
    <fieldset className="play" aria-label="Play">
      <button
        type="button"
        aria-label={playing ? "Pause" : "Play"}
        title={playing ? "Pause (P)" : "Play (P)"}
        onClick={() => (playing ? stopPlaying(m) : startPlaying(m))}
      >
        {playing ? "❚❚" : "▶"}
      </button>
      {PACES.map((p) => (
        <button
          key={p}
          type="button"
          aria-pressed={p === pace}
          aria-label={`Play at ${PACE_WORDS[p]} of life's speed`}
          title={p === 1 ? "As fast as in life (V)" : `${PACE_WORDS[p]} as fast as in life (V)`}
          onClick={() => m.ui.setState({ pace: p })}
        >
          {PACE_WORDS[p]}
        </button>
      ))}
      <button
        type="button"
        aria-pressed={looping}
        disabled={!canLoop}
        aria-label="One stride over and over"
        title={
          canLoop
            ? "One stride over and over, from a blade's leaving the ice to its next (O)"
            : "One stride over and over: once two blade-offs are picked"
        }
        onClick={() => m.ui.setState({ looping: !looping, playing: false })}
      >
        ⟳
      </button>
    </fieldset>
  );
}
