import { MeasureError } from "../../../src/errors.ts";
import type { Trial } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** Says how many clip seconds one real second takes: 8 for a clip that plays eight times slower than life. */
export const setSpeedFactor: Command<{ trial: string; factor: number }> = {
  name: "setSpeedFactor",
  label: ({ factor }) => `speed factor ${factor}`,
  run(whole, { trial, factor }) {
    if (!Number.isFinite(factor) || factor < 0.1 || factor > 100) {
      throw new MeasureError(
        "bad-speed-factor",
        `setSpeedFactor needs 0.1..100, got ${factor}`,
        "A speed factor is a number from 0.1 to 100: 1 for a clip at life speed, 8 for one that plays eight times slower.",
        { factor },
      );
    }
    const clips = (t: Trial) =>
      t.clips?.map((one) => (one.id === trial ? { ...one, speedFactor: factor } : one));
    return withStudy(whole, {
      trials: whole.study.trials.map((t) => {
        if (t.id === trial) return { ...t, speedFactor: factor };
        return t.clips?.some(({ id }) => id === trial) ? { ...t, clips: clips(t)! } : t;
      }),
    });
  },
};
