import { useState } from "react";
import { useStore } from "zustand";
import type { Session } from "../store/session.ts";

/** How the study opened: read-only, a damaged file set aside, a newer version. */
export function Notices({ session, takeOver }: { session: Session; takeOver: () => void }) {
  const owner = useStore(session, (s) => s.owner);
  const notices = useStore(session, (s) => s.notices);
  const readOnly = useStore(session, (s) => s.readOnly);
  const [read, setRead] = useState<readonly string[]>([]);
  return (
    <div className="main-notices">
      {readOnly && (
        <div className="notice" data-kind="problem">
          <p>
            This study is open for reading only: you can look and compare, but nothing you do here is saved,
            so nothing can be changed.
          </p>
          {owner !== null && (
            <button
              type="button"
              onClick={takeOver}
              title={`Whoever has it (${owner}) saves the rest first, then only looks on.`}
            >
              Take over
            </button>
          )}
        </div>
      )}
      {notices
        .filter((n) => !read.includes(n))
        .map((n) => (
          <div key={n} className="notice">
            <p>{n}</p>
            <button type="button" onClick={() => setRead([...read, n])}>
              Close
            </button>
          </div>
        ))}
    </div>
  );
}
