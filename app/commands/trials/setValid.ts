import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** A void trial is kept and shown, but no comparison uses it. */
export const setValid: Command<{ trial: string; valid: boolean }> = {
  name: "setValid",
  label: ({ valid }) => (valid ? "use the trial again" : "make the trial void"),
  run: (whole, { trial, valid }) =>
    withStudy(whole, { trials: changed(whole.study.trials, trial, (t) => ({ ...t, valid })) }),
};
