import { useStore } from "zustand";
import type { Autosave } from "../store/autosave.ts";
import type { Session } from "../store/session.ts";
import { clockTime } from "../store/time.ts";

/** "Saved 21:04:17", "Saving", or why not. Announced to screen readers only when it fails. */
export function SavedWords({
  session,
  autosave,
  takeTheirs,
}: {
  session: Session;
  autosave: Autosave;
  /** Opens the study anew as it is on the disk. */
  takeTheirs: () => void;
}) {
  const state = useStore(autosave.state);
  const readOnly = useStore(session, (s) => s.readOnly);
  if (readOnly) return <div className="care">Reading only</div>;
  if (state.kind === "failed" && state.changed !== null) {
    const { changed } = state;
    return (
      <div role="alert" className="bad">
        <strong>Which one?</strong> {state.reason}
        <br />
        <button type="button" className="plain-button" onClick={() => void autosave.keepOurs(changed)}>
          Keep this window's
        </button>
        <button type="button" className="plain-button" onClick={takeTheirs}>
          Take the other one
        </button>
      </div>
    );
  }
  if (state.kind === "failed") {
    return (
      <div role="alert" className="bad">
        <strong>Not saved:</strong> {state.reason} This browser keeps it, and offers it when the study is
        opened again.
        <br />
        <button type="button" className="plain-button" onClick={() => void autosave.flush()}>
          Try again
        </button>
      </div>
    );
  }
  if (state.kind === "saving") return <div data-testid="saved">Saving</div>;
  return (
    <div data-testid="saved">
      <div className="good">Saved</div>
      {state.at && <div className="quiet number">{clockTime(state.at)}</div>}
    </div>
  );
}
