import { createStore, type StoreApi } from "zustand/vanilla";
import type { OpenedStudy } from "../../src/study/exchange.ts";
import { undoStates } from "../../src/study/journal.ts";
import { withPlanChanges } from "../../src/study/lockedPlan.ts";
import type { Place } from "../../src/study/places.ts";
import { viewWithId } from "../../src/study/trialViews.ts";
import type { Study, WholeStudy } from "../../src/study/types.ts";
import type { Command } from "../commands/Command.ts";

/** One thing that can be undone: the study before it, its name, and where the person was. */
export interface Step {
  readonly whole: WholeStudy;
  readonly label: string;
  readonly trial: string | null;
  readonly frame: number;
  /** The place it was done in; null = not known. */
  readonly place: Place | null;
  /** Of a step that is done once more: its name in the journal. */
  readonly id?: string;
}

export interface SessionState {
  readonly whole: WholeStudy;
  readonly folder: string;
  readonly readOnly: boolean;
  readonly notices: readonly string[];
  /** Who else writes into this study; null = nobody. */
  readonly owner: string | null;
  /** Number of the journal's last step when the study was opened. */
  readonly stepsMade: number;
  readonly place: Place;
  /** What stands in the place of a place: which study, or several evenings together. */
  readonly beside: Beside | null;
  readonly trial: string | null;
  readonly frame: number;
  /** The frame each trial was left at, so that coming back to it continues there. */
  readonly leftAt: Readonly<Record<string, number>>;
  readonly past: readonly Step[];
  readonly future: readonly Step[];
}

export type Beside = "studies" | "season";

export type Session = StoreApi<SessionState>;

/** More steps than anyone takes back; bounds the memory of a long evening. */
const STEPS_KEPT = 2000;

/** The study as it was opened, with what can still be undone of what led to it. */
export function createSession(opened: Omit<OpenedStudy, "run">): Session {
  const { study, marks } = opened;
  const whole = { study, marks };
  const remembered = viewWithId(study, opened.position?.trial ?? null) ? opened.position : null;
  return createStore<SessionState>(() => ({
    whole,
    folder: opened.folder,
    readOnly: opened.readOnly,
    notices: opened.notices,
    owner: opened.owner,
    stepsMade: opened.stepsMade,
    beside: null,
    place: opened.position?.place ?? (begun(study) ? "measure" : "plan"),
    trial: remembered?.trial ?? study.trials.find((t) => t.clip)?.id ?? study.trials[0]?.id ?? null,
    frame: remembered?.frame ?? 0,
    leftAt: {},
    ...undoStates(whole, opened.steps),
  }));
}

/** Whether the evening is more than a plan. */
function begun({ trials }: Study): boolean {
  return trials.some((t) => t.time !== null || t.clip !== undefined);
}

/**
 * Does one thing to the study and records it for undo.
 *
 * @param id of a step that was made before and never saved
 */
export function perform<Args>(session: Session, command: Command<Args>, args: Args, id?: string): void {
  const { whole, past, readOnly, trial, frame, place } = session.getState();
  if (readOnly) return;
  const next = noted(whole, command.run(whole, args));
  if (next === whole) return;
  const step = {
    whole,
    label: command.label(args),
    trial,
    frame,
    place,
    ...(id === undefined ? {} : { id }),
  };
  session.setState({ whole: next, past: [...past, step].slice(-STEPS_KEPT), future: [] });
}

/** With what was changed of a locked plan. */
function noted(before: WholeStudy, after: WholeStudy): WholeStudy {
  if (after === before || !after.study.plan?.locked) return after;
  const study = withPlanChanges(before.study, after.study, new Date().toISOString());
  return study === after.study ? after : { ...after, study };
}

export function undo(session: Session): void {
  const { whole, past, future, trial, frame } = session.getState();
  const last = past.at(-1);
  if (!last) return;
  session.setState({
    whole: last.whole,
    past: past.slice(0, -1),
    future: [{ whole, label: last.label, trial, frame, place: last.place }, ...future],
    ...where(session, last),
  });
}

export function redo(session: Session): void {
  const { whole, past, future, trial, frame } = session.getState();
  const next = future[0];
  if (!next) return;
  session.setState({
    whole: next.whole,
    past: [...past, { whole, label: next.label, trial, frame, place: next.place }],
    future: future.slice(1),
    ...where(session, next),
  });
}

/** While measuring, a mark taken back is shown where it was made; else nothing moves. */
function where(session: Session, { trial, frame, place }: Step): Partial<SessionState> {
  const measured = place === "measure" || place === null;
  return measured && session.getState().place === "measure" ? { trial, frame } : {};
}

export function goToPlace(session: Session, place: Place): void {
  session.setState({ place, beside: null });
}

export function showBeside(session: Session, beside: Beside | null): void {
  session.setState({ beside });
}

/** Opens a trial, or one of its views, at this frame, else at the one it was left at, else at its first event frame. */
export function goToTrial(session: Session, trial: string, frame?: number): void {
  const now = session.getState();
  if (now.trial === trial) return;
  const leftAt = now.trial === null ? now.leftAt : { ...now.leftAt, [now.trial]: now.frame };
  const first = now.whole.marks[trial]?.events.reduce((least, e) => Math.min(least, e.frame), Infinity);
  const fallback = first === undefined || first === Infinity ? 0 : first;
  session.setState({ trial, leftAt, frame: frame ?? leftAt[trial] ?? fallback });
}
