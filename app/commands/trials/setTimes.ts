import { MeasureError } from "../../../src/errors.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** Sets the times of one trial after another in run order, from a given trial on; null leaves a trial as it is. */
export const setTimes: Command<{ from: string; times: readonly (number | null)[] }> = {
  name: "setTimes",
  label: ({ times }) => `paste ${times.length} times`,
  run(whole, { from, times }) {
    const inOrder = whole.study.trials.slice().sort((a, b) => a.order - b.order);
    const start = inOrder.findIndex((t) => t.id === from);
    const room = inOrder.length - start;
    if (start < 0 || times.length > room) {
      throw new MeasureError(
        "too-many-times",
        `setTimes got ${times.length} times for ${room} trials`,
        `You pasted ${times.length} times, but only ${room} trials are left from here on. Nothing was pasted.`,
      );
    }
    const time = new Map(times.map((value, i) => [inOrder[start + i]!.id, value]));
    return withStudy(whole, {
      trials: whole.study.trials.map((t) => ({ ...t, time: time.get(t.id) ?? t.time })),
    });
  },
};
