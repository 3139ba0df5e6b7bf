import type { ReactNode } from "react";
import { useStore } from "zustand";
import type { Autosave } from "../store/autosave.ts";
import type { Session } from "../store/session.ts";

/** Why something is not saved, and what a person can do about it. */
export function SaveProblem({
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
  if (readOnly || state.kind !== "failed") return null;
  const { changed, restarted, kept } = state;
  const reason = state.reason.replace(/^Not saved: /, "");
  if (changed !== null)
    return (
      <Problem words={<strong>Which one?</strong>} reason={reason}>
        <button type="button" onClick={() => void autosave.keepOurs(changed)}>
          Keep this window's
        </button>
        <button type="button" onClick={takeTheirs}>
          Take the other one
        </button>
      </Problem>
    );
  return (
    <Problem
      words={<strong>Not saved:</strong>}
      reason={restarted ? reason : `${reason} ${keptWords(kept, window.location)}`}
    >
      {restarted ? (
        <button type="button" onClick={() => window.location.reload()}>
          Reload the window
        </button>
      ) : (
        <button type="button" onClick={() => void autosave.flush()}>
          Try again
        </button>
      )}
    </Problem>
  );
}

/** What will be true of it: a browser keeps things for one address, port included. */
export function keptWords(kept: boolean, { host, port }: Pick<Location, "host" | "port">): string {
  if (!kept) return "This browser can't keep it: leave this window open until it is saved.";
  return port === ""
    ? "It is kept here, and offered when the study is opened again."
    : `This browser keeps it, and offers it when the study is opened again at ${host}, where Blademark opens it if it can.`;
}

function Problem(props: { words: ReactNode; reason: string; children: ReactNode }) {
  return (
    <div className="main-notices">
      <div role="alert" className="notice" data-kind="bad">
        <p>
          {props.words} {props.reason}
        </p>
        {props.children}
      </div>
    </div>
  );
}
