import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

export const setNote: Command<{ trial: string; note: string }> = {
  name: "setNote",
  label: () => "change the note",
  run: (whole, { trial, note }) =>
    withStudy(whole, {
      trials: changed(whole.study.trials, trial, ({ note: _, ...t }) =>
        note.trim() === "" ? t : { ...t, note: note.trim() },
      ),
    }),
};
