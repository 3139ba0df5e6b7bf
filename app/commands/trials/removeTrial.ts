import { MeasureError } from "../../../src/errors.ts";
import { without } from "../../../src/trials/setupEdits.ts";
import type { Command } from "../Command.ts";
import { hasData, withStudy } from "../withStudy.ts";

/** Takes a planned trial out that nobody skated. */
export const removeTrial: Command<{ trial: string }> = {
  name: "removeTrial",
  label: () => "remove the trial",
  run(whole, { trial }) {
    const { trials } = whole.study;
    if (trials.some((t) => t.id === trial && hasData(whole, t))) {
      throw new MeasureError(
        "trial-has-data",
        `removeTrial: ${trial} has data`,
        "This trial has a time, a clip or marks. Make it void instead; a void trial is kept and not used.",
        { trial },
      );
    }
    const setups = without(whole.study, whole.marks, trial);
    return withStudy(whole, { trials: trials.filter((t) => t.id !== trial), ...(setups && { setups }) });
  },
};
