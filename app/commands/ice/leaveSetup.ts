import { without } from "../../../src/trials/setupEdits.ts";
import type { Command } from "../Command.ts";

/** Takes a trial's clip out of its camera set-up: its own ice points alone give its scale again. */
export const leaveSetup: Command<{ trial: string }> = {
  name: "leaveSetup",
  label: () => "take the clip out of its camera set-up",
  run(whole, { trial }) {
    const { setups } = whole.study;
    if (!setups?.some((s) => s.trials.some((t) => t.trial === trial))) return whole;
    return { ...whole, study: { ...whole.study, setups: without(whole.study, whole.marks, trial)! } };
  },
};
