/** What a person did, step by step: enough to put back what was not saved yet, and to undo after reopening. */
import { applyChanges, type Change, changesBetween } from "./changes.ts";
import type { Place } from "./places.ts";
import type { Study, TrialMarks, WholeStudy } from "./types.ts";

/** How a step changes one document, `study` or `marks/TRIAL`, and how to take that back. */
export interface DocumentChanges {
  readonly document: string;
  readonly forth: readonly Change[];
  readonly back: readonly Change[];
}

export interface JournalStep {
  /** Tells a step from every other one: what was sent twice is not made twice. Older journals have none. */
  readonly id?: string;
  /** Undoing and doing again are steps too: the journal only grows. */
  readonly kind: "do" | "undo" | "redo";
  readonly label: string;
  readonly trial: string | null;
  readonly frame: number;
  /** Where in the window it was done. Older journals do not say. */
  readonly place?: Place;
  readonly changes: readonly DocumentChanges[];
}

/** A state that can be gone back to: the same as the session's. */
export interface PastState {
  readonly whole: WholeStudy;
  readonly label: string;
  readonly trial: string | null;
  readonly frame: number;
  readonly place: Place | null;
}

export const MARKS_PREFIX = "marks/";

/** The documents that differ between two states, and how. */
export function stepChanges(before: WholeStudy, after: WholeStudy): DocumentChanges[] {
  const names = new Set([...Object.keys(before.marks), ...Object.keys(after.marks)]);
  return [
    one("study", before.study, after.study),
    ...[...names].map((id) => one(MARKS_PREFIX + id, before.marks[id], after.marks[id])),
  ].filter(({ forth }) => forth.length > 0);
}

function one(document: string, before: unknown, after: unknown): DocumentChanges {
  return { document, forth: changesBetween(before, after), back: changesBetween(after, before) };
}

/** A document of the study by its name in the journal; undefined when there is none. */
export function documentOf({ study, marks }: WholeStudy, name: string): unknown {
  return name === "study" ? study : marks[name.slice(MARKS_PREFIX.length)];
}

/**
 * The study after some changes. Nothing is checked: who reads changes from elsewhere parses what comes of them.
 *
 * @throws {MeasureError} `changes-do-not-fit`
 */
export function withChanges(
  whole: WholeStudy,
  changes: readonly DocumentChanges[],
  way: "forth" | "back",
): WholeStudy {
  let { study } = whole;
  const marks = { ...whole.marks };
  for (const { document, [way]: list } of changes) {
    const next = applyChanges(documentOf({ study, marks }, document) ?? null, list);
    const id = document.slice(MARKS_PREFIX.length);
    if (document === "study") study = next as Study;
    else if (next === null) delete marks[id];
    else marks[id] = next as TrialMarks;
  }
  return { study, marks };
}

/** What can be undone and done again after the steps that led to `whole`. Steps that do not fit end it. */
export function undoStates(
  whole: WholeStudy,
  steps: readonly JournalStep[],
): { readonly past: readonly PastState[]; readonly future: readonly PastState[] } {
  const before = statesBefore(whole, steps);
  const from = steps.length - before.length;
  let past: PastState[] = [];
  let future: PastState[] = [];
  before.forEach((state, i) => {
    const { kind, label, trial, frame, place = null } = steps[from + i] as JournalStep;
    const left = { whole: state, label, trial, frame, place };
    if (kind === "undo") {
      // The step it took back may lie before the journal's beginning.
      past = past.slice(0, -1);
      future = [left, ...future];
    } else {
      past = [...past, left];
      future = kind === "redo" ? future.slice(1) : [];
    }
  });
  return { past, future };
}

/** The state before each of the last steps, as far back as they fit. */
function statesBefore(whole: WholeStudy, steps: readonly JournalStep[]): WholeStudy[] {
  const states: WholeStudy[] = [];
  let now = whole;
  for (const { changes } of steps.toReversed()) {
    try {
      now = withChanges(now, changes, "back");
    } catch {
      break;
    }
    states.unshift(now);
  }
  return states;
}
