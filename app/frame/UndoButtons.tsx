import { useStore } from "zustand";
import type { Session } from "../store/session.ts";
import { redoAndSay, undoAndSay } from "../store/undoing.ts";

/** Undo and redo, each naming on hover what it takes back: in the button the name would push what lies below about. */
export function UndoButtons({ session }: { session: Session }) {
  const back = useStore(session, (s) => s.past.at(-1)?.label ?? null);
  const forth = useStore(session, (s) => s.future[0]?.label ?? null);
  return (
    <fieldset className="undo" aria-label="Undo and redo">
      <button
        type="button"
        className="plain-button"
        disabled={back === null}
        onClick={() => undoAndSay(session)}
        title={back ? `Undo ${back} (Ctrl+Z)` : "Ctrl+Z"}
        aria-label={back ? `Undo ${back}` : undefined}
      >
        Undo
      </button>
      <button
        type="button"
        className="plain-button"
        disabled={forth === null}
        onClick={() => redoAndSay(session)}
        title={forth ? `Redo ${forth} (Ctrl+Shift+Z)` : "Ctrl+Shift+Z"}
        aria-label={forth ? `Redo ${forth}` : undefined}
      >
        Redo
      </button>
    </fieldset>
  );
}
