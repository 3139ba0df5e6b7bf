import type { Trial } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Takes a trial's time from its clip, as long as no photocell time is typed; or does so no more. */
export const setTimedBy: Command<{ trial: string; clip: boolean }> = {
  name: "setTimedBy",
  label: ({ clip }) => (clip ? "time by the clip" : "no time by the clip"),
  run(whole, { trial, clip }) {
    const known = whole.study.trials.find((t) => t.id === trial);
    if (!known || (known.timedBy === "clip") === clip) return whole;
    const timed = ({ timedBy: _, ...rest }: Trial): Trial => (clip ? { ...rest, timedBy: "clip" } : rest);
    return withStudy(whole, { trials: changed(whole.study.trials, trial, timed) });
  },
};
