import { type JournalStep, withChanges } from "../../../src/study/journal.ts";
import type { Command } from "../Command.ts";

/** Does a step again that an earlier window could not save. */
export const putBack: Command<{ step: JournalStep }> = {
  name: "putBack",
  label: ({ step: { kind, label } }) => (kind === "undo" ? `taking back ${label}` : label),
  run: (whole, { step }) => withChanges(whole, step.changes, "forth"),
};
