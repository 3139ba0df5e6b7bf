import { useStore } from "zustand";
import { isDoubtful, isReady, readyRanges } from "../../store/clipFrames.ts";
import type { Measuring } from "./useMeasure.ts";

interface Props {
  readonly m: Measuring;
  readonly shown: number | null;
  readonly exact: boolean;
  readonly failure: string | null;
}

/** Which frame is on the screen while another one is wanted, why the wanted one does not come, or why it is not to be trusted. */
export function FrameLabel({ m, shown, exact, failure }: Props) {
  const frame = useStore(m.session, (s) => s.frame);
  if (exact && !isDoubtful(m.index, frame)) return null;
  if (exact) {
    return (
      <div className="picture-label" data-tone="bad" role="status">
        The clip is damaged here: this picture may be put together from others. Nothing can be marked on it.
      </div>
    );
  }
  const prepared = m.index !== null && isReady(readyRanges(m.index), frame);
  const words =
    failure ??
    (prepared
      ? shown === null
        ? `Loading frame ${frame}`
        : `Showing frame ${shown} while ${frame} loads`
      : `Frame ${frame} is not prepared yet${shown === null ? "" : `; showing frame ${shown}`}`);
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
