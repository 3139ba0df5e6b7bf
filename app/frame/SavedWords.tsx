import { useStore } from "zustand";
import type { Autosave } from "../store/autosave.ts";
import type { Session } from "../store/session.ts";
import { clockTime } from "../store/time.ts";

/** "Saved 21:04:17", "Saving" or "Not saved"; why not is said above the place (`SaveProblem`). */
export function SavedWords({ session, autosave }: { session: Session; autosave: Autosave }) {
  const state = useStore(autosave.state);
  const readOnly = useStore(session, (s) => s.readOnly);
  if (readOnly) return <div className="care">Reading only</div>;
  if (state.kind === "failed") return <div className="bad">Not saved</div>;
  if (state.kind === "saving") return <div data-testid="saved">Saving</div>;
  return (
    <div data-testid="saved">
      <div className="good">Saved</div>
      {state.at && <div className="quiet number">{clockTime(state.at)}</div>}
    </div>
  );
}
