import { useStore } from "zustand";
import type { ClipIndex, Reach } from "../../../../src/study/exchange.ts";
import { isDoubtful, isReady, readyRanges } from "../../../store/clipFrames.ts";
import type { Measuring } from "../core/useMeasure.ts";

interface Props {
  readonly m: Measuring;
  readonly shown: number | null;
  readonly exact: boolean;
  readonly failure: string | null;
  /** How a frame that is not ready will come; null = not known. */
  readonly reach: Reach | null;
}

/** Which frame is on the screen while another one is wanted, why the wanted one does not come, or why it is not to be trusted. */
export function FrameLabel({ m, shown, exact, failure, reach }: Props) {
  const frame = useStore(m.session, (s) => s.frame);
  if (exact && !isDoubtful(m.index, frame)) return null;
  if (exact) {
    return (
      <div className="picture-label" data-tone="bad" role="status">
        The clip is damaged here: this picture may be put together from others. Nothing can be marked on it.
      </div>
    );
  }
  const words = failure ?? waitingWords(m.index, frame, shown, reach);
  return (
    <div className="picture-label" data-tone={failure ? "bad" : undefined} role="status">
      {words}
      {failure && (
        <button type="button" className="plain-button" onClick={() => m.clips.watch(m.trial.clip ?? "")}>
          Try again
        </button>
      )}
    </div>
  );
}

function waitingWords(
  index: ClipIndex | null,
  frame: number,
  shown: number | null,
  reach: Reach | null,
): string {
  const showing = shown === null ? "" : `; showing frame ${shown}`;
  if (index && isReady(readyRanges(index), frame))
    return shown === null ? `Loading frame ${frame}` : `Showing frame ${shown} while ${frame} loads`;
  const { part } = index ?? {};
  if (part && (frame < part.first || frame > part.last))
    return `Frame ${frame} lies outside the part that matters${showing}`;
  if (index?.state === "stopped") return `Preparing was stopped before frame ${frame}${showing}`;
  if (reach === "jump") return `Getting frame ${frame}${showing}`;
  if (reach === "never") return `Frame ${frame} can't be had${showing}`;
  return `Frame ${frame} is not prepared yet${showing}`;
}
