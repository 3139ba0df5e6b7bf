import { emptyMarks } from "../../../src/trials/trialInput.ts";
import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "./marksOf.ts";

/** Takes every mark, event frame and ice point of a trial away, so that it can be marked anew. */
export const clearTrialMarks: Command<{ trial: string }> = {
  name: "clearTrialMarks",
  label: () => "clear all marks of the trial",
  run(whole, { trial }) {
    const before = marksOf(whole, trial);
    const bare = !before.picture && !before.iceReference && before.events.length + before.marks.length === 0;
    return bare ? whole : withMarks(whole, emptyMarks(trial));
  },
};
