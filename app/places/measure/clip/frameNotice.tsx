import type { ReactNode } from "react";
import type { ClipIndex, Reach } from "../../../../src/study/exchange.ts";
import { isDoubtful, isReady, readyRanges } from "../../../store/clipFrames.ts";

interface OnCanvas {
  readonly shown: number | null;
  readonly exact: boolean;
  readonly failure: string | null;
}

/**
 * Which frame is on the screen while another one is wanted, why the wanted one does not come, or why it is not to be
 * trusted; null = the frame is there and sound.
 *
 * @param reach how a frame that is not ready will come; null = not known
 */
export function frameNotice(
  index: ClipIndex | null,
  frame: number,
  { shown, exact, failure }: OnCanvas,
  reach: Reach | null,
  tryAgain: () => void,
): ReactNode {
  if (exact && !isDoubtful(index, frame)) return null;
  if (exact) {
    return (
      <span className="bad" role="status">
        The clip is damaged here: this picture may be put together from others. Nothing can be marked on it.
      </span>
    );
  }
  return (
    <span className={failure ? "bad" : undefined} role="status">
      {failure ?? `${waitingWords(index, frame, shown, reach)}. Nothing can be marked until it is there.`}{" "}
      {failure && (
        <button type="button" className="plain-button" onClick={tryAgain}>
          Try again
        </button>
      )}
    </span>
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
  if (reach === "never") return `Frame ${frame} can't be shown${showing}`;
  return `Frame ${frame} is not prepared yet${showing}`;
}
