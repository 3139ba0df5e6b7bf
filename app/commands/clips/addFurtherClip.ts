import { MeasureError } from "../../../src/errors.ts";
import { freshId } from "../../../src/study/ids.ts";
import { clipsOf, markedIds } from "../../../src/study/trialViews.ts";
import type { ClipLink, ClipRole } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Puts one more clip of the same run on a trial, beside its first: another view, the clock, or only to look at. */
export const addFurtherClip: Command<{ trial: string; clip: ClipLink; role: ClipRole }> = {
  name: "addFurtherClip",
  label: ({ clip }) => `add clip ${clip.name}`,
  run(whole, { trial, clip, role }) {
    const { study } = whole;
    const target = study.trials.find((t) => t.id === trial);
    if (!target) return whole;
    if (clipsOf(target).includes(clip.id)) {
      throw new MeasureError(
        "clip-there-already",
        `addFurtherClip: trial ${trial} has clip ${clip.id}`,
        `"${clip.name}" is on this trial already.`,
        { clip: clip.id },
      );
    }
    const id = freshId(`${trial}-view-${clipsOf(target).length + 1}`, markedIds(study), "view");
    const one = { clip: clip.id, role, ...(role === "view" && { id }) };
    return withStudy(whole, {
      clips: study.clips.some((c) => c.id === clip.id) ? study.clips : [...study.clips, clip],
      trials: changed(study.trials, trial, (t) => ({ ...t, clips: [...(t.clips ?? []), one] })),
    });
  },
};
