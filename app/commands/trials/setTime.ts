import { readTime } from "../../../src/trials/readTime.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Sets a trial's photocell time as typed, seconds; blank takes it away. */
export const setTime: Command<{ trial: string; text: string }> = {
  name: "setTime",
  label: ({ text }) => (text.trim() === "" ? "clear the time" : `time ${text.trim()}`),
  run(whole, { trial, text }) {
    const time = readTime(text);
    return withStudy(whole, { trials: changed(whole.study.trials, trial, (t) => ({ ...t, time })) });
  },
};
