import { useState } from "react";
import type { Trial } from "../../../src/study/types.ts";
import { setNote } from "../../commands/trials/setNote.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";

/** Free words about a trial. */
export function NoteCell({ session, trial, label }: { session: Session; trial: Trial; label: string }) {
  const [typed, setTyped] = useState<string | null>(null);
  const commit = () => {
    if (typed !== null && typed.trim() !== (trial.note ?? ""))
      attempt(session, setNote, { trial: trial.id, note: typed });
    setTyped(null);
  };
  return (
    <input
      className="note-input"
      aria-label={`Note on ${label}`}
      value={typed ?? trial.note ?? ""}
      onChange={(e) => setTyped(e.currentTarget.value)}
      onBlur={commit}
      onKeyDown={(e) => {
        if (e.key === "Enter") commit();
        if (e.key === "Escape") setTyped(null);
      }}
    />
  );
}
