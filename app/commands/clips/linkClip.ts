import { MeasureError } from "../../../src/errors.ts";
import type { ClipLink } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";

/** Says which clip shows a trial, and takes the clip into the study if it is new; null unlinks it. */
export const linkClip: Command<{ trial: string; clip: ClipLink | null }> = {
  name: "linkClip",
  label: ({ clip }) => (clip ? `link clip ${clip.name}` : "unlink the clip"),
  run(whole, { trial, clip }) {
    const target = whole.study.trials.find((t) => t.id === trial);
    if (!target || target.clip === clip?.id) return whole;
    const marked = whole.marks[trial]?.picture?.clip;
    if (clip && marked !== undefined && marked !== clip.id) {
      const name = whole.study.clips.find((c) => c.id === marked)?.name ?? marked;
      throw new MeasureError(
        "marked-on-other-clip",
        `linkClip: trial ${trial} is marked on clip ${marked}`,
        `This trial is already marked on the clip "${name}". Its marks would be wrong on another clip: clear them first, or link the clip to the trial it shows.`,
        { clip: marked },
      );
    }
    const { clip: _, ...rest } = target;
    const linked = clip ? { ...rest, clip: clip.id } : rest;
    const known = !clip || whole.study.clips.some((c) => c.id === clip.id);
    return {
      ...whole,
      study: {
        ...whole.study,
        clips: known ? whole.study.clips : [...whole.study.clips, clip],
        trials: whole.study.trials.map((t) => (t === target ? linked : t)),
      },
    };
  },
};
