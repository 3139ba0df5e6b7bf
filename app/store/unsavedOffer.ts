import type { OpenedStudy } from "../../src/study/exchange.ts";
import type { JournalStep } from "../../src/study/journal.ts";
import { readSteps } from "../../src/study/parseSteps.ts";
import { heldAgainst } from "../../src/study/unsavedSteps.ts";
import { putBack } from "../commands/marks/putBack.ts";
import type { StepsKeeper } from "./keptSteps.ts";
import { perform, type Session } from "./session.ts";

/** What an earlier window could not save, to be put back, looked at or thrown away. */
export interface UnsavedOffer {
  /** When the last of it was done, ms since 1970. */
  readonly at: number;
  readonly fit: readonly JournalStep[];
  /** Not to be put back: it was changed by somebody else since. */
  readonly late: readonly JournalStep[];
  /** Does what fits to the study, each step as one that can be undone. */
  putBack(session: Session): void;
  /** The browser keeps it no longer. */
  discard(): void;
}

/** Null when the study holds everything that was kept. */
export function unsavedOffer(opened: OpenedStudy, keeper: StepsKeeper): UnsavedOffer | null {
  const kept = keeper.found();
  const keys = kept.map(({ key }) => key);
  const made = new Set(opened.steps.flatMap(({ id }) => id ?? []));
  const steps = kept.flatMap((k) => readSteps(k.steps));
  const { fit, late } = heldAgainst(opened, steps, made);
  const discard = () => keeper.drop(keys);
  if (fit.length + late.length === 0) {
    discard();
    return null;
  }
  return {
    at: kept.at(-1)?.at ?? 0,
    fit,
    late,
    discard,
    putBack(session) {
      // Against the study as it is by now.
      const { whole } = session.getState();
      const now = heldAgainst(whole, steps, made);
      // Under their own names, so that they are known should they be found in the browser once more.
      for (const step of now.fit) perform(session, putBack, { step }, step.id);
      if (now.late.length === 0) discard();
    },
  };
}
