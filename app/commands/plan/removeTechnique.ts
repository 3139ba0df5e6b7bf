import { MeasureError } from "../../../src/errors.ts";
import type { Command } from "../Command.ts";
import { hasData, withStudy } from "../withStudy.ts";

/** Takes a technique out, with the trials planned for it; not once a trial holds a time, a clip or marks. */
export const removeTechnique: Command<{ technique: string; name: string }> = {
  name: "removeTechnique",
  label: ({ name }) => `remove technique ${name}`,
  run(whole, { technique, name }) {
    const { techniques, trials, compare } = whole.study;
    if (trials.some((t) => t.technique === technique && hasData(whole, t))) {
      throw new MeasureError(
        "technique-has-trials",
        `removeTechnique: ${technique} has trials with data`,
        `There are trials of ${name} with a time or a clip, so it stays in the study.`,
        { technique },
      );
    }
    const compared = compare?.a === technique || compare?.b === technique;
    return withStudy(whole, {
      techniques: techniques.filter((t) => t.id !== technique),
      trials: trials.filter((t) => t.technique !== technique),
      compare: compared ? null : compare,
    });
  },
};
