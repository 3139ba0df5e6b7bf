import { MeasureError } from "../../../src/errors.ts";
import type { Command } from "../Command.ts";
import { hasData, withStudy } from "../withStudy.ts";

/** Takes a skater out, with the trials planned for them; not once a trial holds a time, a clip or marks. */
export const removeSkater: Command<{ skater: string; name: string }> = {
  name: "removeSkater",
  label: ({ name }) => `remove skater ${name}`,
  run(whole, { skater, name }) {
    const { skaters, trials } = whole.study;
    if (trials.some((t) => t.skater === skater && hasData(whole, t))) {
      throw new MeasureError(
        "skater-has-trials",
        `removeSkater: ${skater} has trials with data`,
        `${name} has trials with a time or a clip, so they stay in the study. Make those trials void in Times instead.`,
        { skater },
      );
    }
    return withStudy(whole, {
      skaters: skaters.filter((s) => s.id !== skater),
      trials: trials.filter((t) => t.skater !== skater),
    });
  },
};
