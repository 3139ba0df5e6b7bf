import { freshId } from "../../../src/study/ids.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** One more trial at the end of the run order, for a trial that has to be skated again. */
export const addTrial: Command<{ skater: string; technique: string }> = {
  name: "addTrial",
  label: () => "add a trial",
  run(whole, { skater, technique }) {
    const { trials } = whole.study;
    const most = (of: typeof trials, pick: "repeat" | "order") =>
      of.reduce((n, t) => Math.max(n, t[pick]), 0);
    const alike = trials.filter((t) => t.skater === skater && t.technique === technique);
    const repeat = most(alike, "repeat") + 1;
    const id = freshId(
      `${skater}-${technique}-${repeat}`,
      trials.map((t) => t.id),
      "trial",
    );
    const order = most(trials, "order") + 1;
    const trial = { id, skater, technique, repeat, order, time: null, valid: true, speedFactor: 1 };
    return withStudy(whole, { trials: [...trials, trial] });
  },
};
