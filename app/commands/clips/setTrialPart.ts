import { MeasureError } from "../../../src/errors.ts";
import type { ClipPart } from "../../../src/study/exchange.ts";
import { viewWithId } from "../../../src/study/trialViews.ts";
import type { ClipLink, WholeStudy } from "../../../src/study/types.ts";
import { sameFile } from "../../../src/trials/sameClip.ts";
import type { Command } from "../Command.ts";
import { linkClip } from "./linkClip.ts";
import { setClipPart } from "./setClipPart.ts";

/**
 * Says which part of a film shows a trial. Each trial of one film has a link of its own to the same file, with its own part:
 * nothing is copied, and parts change without each other.
 */
export const setTrialPart: Command<{ trial: string; clip: string; part: ClipPart }> = {
  name: "setTrialPart",
  label: ({ part }) => `frames ${part.first} to ${part.last} of the film`,
  run(whole, { trial, clip, part }) {
    const { study } = whole;
    const film = study.clips.find((c) => c.id === clip);
    const target = study.trials.find((t) => t.id === trial);
    if (!film) return whole;
    if (!target) return viewWithId(study, trial) ? setClipPart.run(whole, { clip, part }) : whole;
    const own = study.clips.find((c) => c.id === target.clip);
    if (own && !sameFile(own, film)) {
      throw new MeasureError(
        "has-another-clip",
        `setTrialPart: trial ${trial} has clip ${own.id}`,
        `This trial has another clip, "${own.name}". Take that off first.`,
        { clip: own.id },
      );
    }
    const shared = own && study.trials.some((t) => t.id !== trial && t.clip === own.id);
    if (own && !shared) return setClipPart.run(whole, { clip: own.id, part });
    const { part: _, ...file } = own ?? film;
    const link = { ...file, id: partId(whole, film), part };
    const free = own ? withoutClip(whole, trial, link.id) : whole;
    const linked = linkClip.run(free, { trial, clip: link });
    // Also where it is marked: its marks must lie in the part.
    return setClipPart.run(linked, { clip: link.id, part });
  },
};

/** The trial gets a link of its own: its marks are on the same file, so they go with it. */
function withoutClip(whole: WholeStudy, trial: string, next: string): WholeStudy {
  const marks = whole.marks[trial];
  const trials = whole.study.trials.map((t) => {
    const { clip: _, ...rest } = t;
    return t.id === trial ? rest : t;
  });
  return {
    study: { ...whole.study, trials },
    marks: marks?.picture
      ? { ...whole.marks, [trial]: { ...marks, picture: { ...marks.picture, clip: next } } }
      : whole.marks,
  };
}

/** Of no link, and of none that is gone but was marked on. */
function partId({ study, marks }: WholeStudy, film: ClipLink): string {
  const base = film.id.replace(/-part-\d+$/, "");
  const taken = new Set([
    ...study.clips.map((c) => c.id),
    ...Object.values(marks).map((m) => m.picture?.clip),
  ]);
  let n = 2;
  while (taken.has(`${base}-part-${n}`)) n += 1;
  return `${base}-part-${n}`;
}
