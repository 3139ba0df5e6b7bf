import { MeasureError } from "../../../src/errors.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Takes a further clip off a trial. One that is marked stays, as its marks would have no clip. */
export const takeFurtherClipOff: Command<{ trial: string; clip: string }> = {
  name: "takeFurtherClipOff",
  label: () => "take a further clip off",
  run(whole, { trial, clip }) {
    const own = whole.study.trials.find((t) => t.id === trial)?.clips?.find((c) => c.clip === clip);
    if (!own) return whole;
    const marks = own.id === undefined ? undefined : whole.marks[own.id];
    if (marks && (marks.marks.length > 0 || marks.events.length > 0)) {
      throw new MeasureError(
        "view-is-marked",
        `takeFurtherClipOff: view ${own.id} has marks`,
        "Something is marked on this clip. Clear its marks in Measure first.",
        { view: own.id! },
      );
    }
    return withStudy(whole, {
      trials: changed(whole.study.trials, trial, ({ clips = [], ...rest }) => {
        const left = clips.filter((c) => c !== own);
        return left.length > 0 ? { ...rest, clips: left } : rest;
      }),
    });
  },
};
