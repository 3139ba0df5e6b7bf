import { MeasureError } from "../../../src/errors.ts";
import { freshId } from "../../../src/study/ids.ts";
import type { Trial } from "../../../src/study/types.ts";
import { runOrder } from "../../../src/trials/runOrder.ts";
import type { Command } from "../Command.ts";
import { hasData, withStudy } from "../withStudy.ts";

/**
 * Makes the trials: a counterbalanced order from a seed. Skaters who already have a time, a clip or marks keep
 * their trials and order as skated; the others get new ones after them.
 */
export const makeRunOrder: Command<{ repeats: number; seed: number }> = {
  name: "makeRunOrder",
  label: () => "make the run order",
  run(whole, { repeats, seed }) {
    const { skaters, techniques, trials } = whole.study;
    const begun = new Set(trials.filter((t) => hasData(whole, t)).map((t) => t.skater));
    const open = skaters.filter((s) => !begun.has(s.id));
    if (skaters.length > 0 && open.length === 0) {
      throw new MeasureError(
        "all-begun",
        "makeRunOrder: every skater has trials with data",
        "Every skater has begun, so the order stays as it was skated. Add single trials in Times.",
      );
    }
    const kept = trials.filter((t) => begun.has(t.skater));
    const last = kept.reduce((most, t) => Math.max(most, t.order), 0);
    const { rows } = runOrder({
      skaters: open.map((s) => s.id),
      techniques: techniques.map((t) => t.id),
      repeats,
      seed,
    });
    const made: Trial[] = [];
    for (const row of rows) {
      const taken = [...kept, ...made].map((t) => t.id);
      const id = freshId(`${row.skater}-${row.technique}-${row.repeat}`, taken, "trial");
      made.push({ ...row, id, order: last + row.order, time: null, valid: true, speedFactor: 1 });
    }
    return withStudy(whole, { trials: [...kept, ...made], runOrder: { seed, repeats } });
  },
};
