import { z } from "zod";
import { MeasureError } from "../../src/errors.ts";
import type { JournalStep } from "../../src/study/journal.ts";
import { journalStep } from "../../src/study/parseSteps.ts";

const journalSteps = z.object({
  from: z.number().int().nonnegative(),
  steps: z.array(journalStep).max(5000),
});

/** The first of the steps is number `from` + 1. */
export interface GivenSteps {
  readonly from: number;
  readonly steps: readonly JournalStep[];
}

/** @throws {MeasureError} `bad-steps` */
export function readSteps(json: unknown): GivenSteps {
  const given = journalSteps.safeParse(json);
  if (given.success) return given.data;
  throw new MeasureError(
    "bad-steps",
    given.error.message,
    "The window sent steps that can't be read; nothing was saved.",
  );
}

/**
 * Those of the steps that the journal does not have yet. It has `made`, the last of which are `kept`.
 *
 * @throws {MeasureError} `steps-missing`, `other-steps`
 */
export function notMadeYet(
  { from, steps }: GivenSteps,
  kept: readonly JournalStep[],
  made: number,
): readonly JournalStep[] {
  const skip = made - from;
  if (skip < 0)
    throw new MeasureError(
      "steps-missing",
      `the journal has ${made} steps, the window goes on from ${from}`,
      "Steps between the window and the journal are missing.",
    );
  mustBeTheSame({ from, steps: steps.slice(0, skip) }, kept, made);
  return steps.slice(skip);
}

/** Steps that are there already are those that were sent before, not what another window did meanwhile. */
function mustBeTheSame({ from, steps }: GivenSteps, kept: readonly JournalStep[], made: number): void {
  for (const [i, { id }] of steps.entries()) {
    // The last one kept is step number `made`. Older journals have no names.
    const there = kept.at(from + i - made);
    if (id === undefined || there?.id === undefined || there.id === id) continue;
    throw new MeasureError(
      "other-steps",
      `step ${from + i + 1} of the journal is ${there.id}, the window sent ${id}`,
      "Not saved: something else was done in this study since this window last saved. Reload the window; what is not saved is offered there.",
    );
  }
}
