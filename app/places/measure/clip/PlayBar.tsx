import { useStore } from "zustand";
import { type Pace, slower, strideAround } from "../core/playOn.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { startPlaying, stopPlaying, toggleLooping } from "../core/usePlay.ts";

const PACE_WORDS: Record<Pace, string> = { 1: "1", 0.5: "½", 0.25: "¼" };

/** Plays the clip, as fast as in life or slower, all of it or one stride over and over. */
export function PlayBar({ m }: { m: Pick<Measuring, "session" | "ui" | "trial" | "marks" | "index"> }) {
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
      <button
        type="button"
        className="pace"
        aria-label={`Speed: ${PACE_WORDS[pace]} of life's; slower`}
        title={`${pace === 1 ? "As fast as in life" : `${PACE_WORDS[pace]} as fast as in life`}; press for slower (V)`}
        onClick={() => m.ui.setState({ pace: slower(pace) })}
      >
        {PACE_WORDS[pace]}
      </button>
      <button
        type="button"
        className="loop"
        aria-pressed={looping}
        disabled={!canLoop}
        aria-label="One stride over and over"
        title={
          canLoop
            ? "One stride over and over, from a blade's leaving the ice to its next (O)"
            : "One stride over and over: once two blade-offs are picked"
        }
        onClick={() => toggleLooping(m)}
      >
        ⟳
      </button>
    </fieldset>
  );
}
