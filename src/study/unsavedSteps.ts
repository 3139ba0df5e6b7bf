/** Steps that a window made and that never reached the study, held against the study as it is now. */
import { MeasureError } from "../errors.ts";
import { type JournalStep, MARKS_PREFIX, stepChanges, withChanges } from "./journal.ts";
import { withCheckedChanges } from "./parseSteps.ts";
import type { WholeStudy } from "./types.ts";

export interface HeldSteps {
  /** They can be made on the study as it is now, in this order, without touching what was changed since. */
  readonly fit: readonly JournalStep[];
  /** What they changed has been changed by somebody else since, or is not there any more. */
  readonly late: readonly JournalStep[];
}

/**
 * Steps already in the journal are in neither list.
 *
 * @param made ids of steps that the study holds
 */
export function heldAgainst(
  whole: WholeStudy,
  steps: readonly JournalStep[],
  made: ReadonlySet<string>,
): HeldSteps {
  const fit: JournalStep[] = [];
  const late: JournalStep[] = [];
  let now = whole;
  for (const step of steps) {
    if (step.id !== undefined && made.has(step.id)) continue;
    const next = after(now, step);
    if (next === null) late.push(step);
    else {
      fit.push(step);
      now = next;
    }
  }
  return { fit, late };
}

/** The study after a step, or null when it is not the study the step was made on. */
function after(whole: WholeStudy, { changes }: JournalStep): WholeStudy | null {
  try {
    const next = withCheckedChanges(whole, changes);
    // What the step says was there before must be what is there now: else it would write over something newer.
    const before = withChanges(withChanges(whole, changes, "forth"), changes, "back");
    return stepChanges(whole, before).length === 0 && !changes.some((c) => hasTwins(next, c.document))
      ? next
      : null;
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

/** Whether a document holds a thing twice: somebody else has put the same mark, or added the same skater, since. */
function hasTwins({ study, marks }: WholeStudy, document: string): boolean {
  if (document === "study") {
    const { skaters, techniques, trials, clips } = study;
    return [skaters, techniques, trials, clips].some((list) => twice(list.map(({ id }) => id)));
  }
  const of = marks[document.slice(MARKS_PREFIX.length)];
  if (!of) return false;
  return (
    twice(of.marks.map((m) => `${m.frame} ${m.point} ${m.side} ${m.pass} ${m.observer}`)) ||
    twice(of.events.map((e) => `${e.frame} ${e.event} ${e.side}`))
  );
}

function twice(names: readonly string[]): boolean {
  return new Set(names).size < names.length;
}
