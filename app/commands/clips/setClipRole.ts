import { MeasureError } from "../../../src/errors.ts";
import { freshId } from "../../../src/study/ids.ts";
import { markedIds } from "../../../src/study/trialViews.ts";
import type { ClipRole, TrialClip } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

const WORDS: Readonly<Record<ClipRole, string>> = {
  view: "measure this clip too",
  clock: "this clip shows the clock",
  look: "only look at this clip",
};

/** Says what a further clip of a trial is for. A view that is marked stays one: its marks would have no place. */
export const setClipRole: Command<{ trial: string; clip: string; role: ClipRole }> = {
  name: "setClipRole",
  label: ({ role }) => WORDS[role],
  run(whole, { trial, clip, role }) {
    const { study } = whole;
    const target = study.trials.find((t) => t.id === trial);
    const own = target?.clips?.find((c) => c.clip === clip);
    if (!target || !own || own.role === role) return whole;
    const marks = own.id === undefined ? undefined : whole.marks[own.id];
    if (marks && (marks.marks.length > 0 || marks.events.length > 0 || marks.iceReference !== null)) {
      throw new MeasureError(
        "view-is-marked",
        `setClipRole: view ${own.id} has marks`,
        "Something is marked on this clip. Clear its marks in Measure first.",
        { view: own.id! },
      );
    }
    const id = own.id ?? freshId(`${trial}-view-2`, markedIds(study), "view");
    const next: TrialClip = { ...own, role, ...(role === "view" && { id }) };
    return withStudy(whole, {
      trials: changed(study.trials, trial, (t) => ({
        ...t,
        clips: (t.clips ?? []).map((c) => (c === own ? next : c)),
      })),
    });
  },
};
