import { useStore } from "zustand";
import { redo, type Session, undo } from "../store/session.ts";

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
        onClick={() => undo(session)}
        title={back ? `Undo ${back} (Ctrl+Z)` : "Ctrl+Z"}
        aria-label={back ? `Undo ${back}` : undefined}
      >
        Undo
      </button>
      <button
        type="button"
        className="plain-button"
        disabled={forth === null}
        onClick={() => redo(session)}
        title={forth ? `Redo ${forth} (Ctrl+Shift+Z)` : "Ctrl+Shift+Z"}
        aria-label={forth ? `Redo ${forth}` : undefined}
      >
        Redo
      </button>
    </fieldset>
  );
}
