import { readTime } from "../../../src/trials/readTime.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Says which frame of the clock's clip shows the stopped time, and what the eye reads there. The typed time stays as it is. */
export const readClock: Command<{ trial: string; clip: string; frame: number; text: string }> = {
  name: "readClock",
  label: ({ text }) => (text.trim() === "" ? "clock's frame" : `the display shows ${text.trim()}`),
  run(whole, { trial, clip, frame, text }) {
    const shows = readTime(text);
    return withStudy(whole, {
      trials: changed(whole.study.trials, trial, (t) => ({
        ...t,
        clips: (t.clips ?? []).map((one) => {
          if (one.clip !== clip) return one;
          const { shows: _, ...rest } = one;
          return shows === null ? { ...rest, frame } : { ...rest, frame, shows };
        }),
      })),
    });
  },
};
