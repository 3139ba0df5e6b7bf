import { createStore, type StoreApi } from "zustand/vanilla";
import type { OpenedStudy, Place } from "../../src/study/exchange.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import type { Command } from "../commands/Command.ts";

export interface Step {
  readonly whole: WholeStudy;
  readonly label: string;
}

export interface SessionState {
  readonly whole: WholeStudy;
  readonly folder: string;
  readonly readOnly: boolean;
  readonly notices: readonly string[];
  readonly place: Place;
  readonly trial: string | null;
  readonly frame: number;
  readonly past: readonly Step[];
  readonly future: readonly Step[];
}

export type Session = StoreApi<SessionState>;

export function createSession(opened: OpenedStudy): Session {
  const { study, marks } = opened;
  return createStore<SessionState>(() => ({
    whole: { study, marks },
    folder: opened.folder,
    readOnly: opened.readOnly,
    notices: opened.notices,
    place: opened.position?.place ?? "measure",
    trial: opened.position?.trial ?? study.trials[0]?.id ?? null,
    frame: opened.position?.frame ?? 0,
    past: [],
    future: [],
  }));
}

/** Does one thing to the study and records it for undo. */
export function perform<Args>(session: Session, command: Command<Args>, args: Args): void {
  const { whole, past, readOnly } = session.getState();
  if (readOnly) return;
  const next = command.run(whole, args);
  if (next === whole) return;
  session.setState({ whole: next, past: [...past, { whole, label: command.label(args) }], future: [] });
}

export function undo(session: Session): void {
  const { whole, past, future } = session.getState();
  const last = past.at(-1);
  if (!last) return;
  session.setState({
    whole: last.whole,
    past: past.slice(0, -1),
    future: [{ whole, label: last.label }, ...future],
  });
}

export function redo(session: Session): void {
  const { whole, past, future } = session.getState();
  const next = future[0];
  if (!next) return;
  session.setState({
    whole: next.whole,
    past: [...past, { whole, label: next.label }],
    future: future.slice(1),
  });
}
