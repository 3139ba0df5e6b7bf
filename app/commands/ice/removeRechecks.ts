import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";

/** Takes back every check of whether the camera was bumped. */
export const removeRechecks: Command<{ trial: string }> = {
  name: "removeRechecks",
  label: () => "take back the check of the camera",
  run(whole, { trial }) {
    const before = marksOf(whole, trial);
    if (before.iceReference?.kind !== "ice-points" || !before.iceReference.rechecks) return whole;
    const { rechecks: _, ...iceReference } = before.iceReference;
    return withMarks(whole, { ...before, iceReference });
  },
};
