import { MeasureError } from "../../../src/errors.ts";
import type { Command } from "../Command.ts";

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
    if (!whole.study.trials.some((t) => t.id === trial && t.speedFactor !== factor)) return whole;
    const trials = whole.study.trials.map((t) => (t.id === trial ? { ...t, speedFactor: factor } : t));
    return { ...whole, study: { ...whole.study, trials } };
  },
};
