import type { ClipIndex } from "../../../../../src/study/exchange.ts";
import { trialLabel } from "../../../../../src/study/labels.ts";
import type { Study } from "../../../../../src/study/types.ts";
import { sameFile } from "../../../../../src/trials/sameClip.ts";
import { timeOf } from "../../../../store/clipFrames.ts";
import type { OtherPart } from "./PartStrip.tsx";

export interface FilmPart extends OtherPart {
  readonly trial: string;
}

/** The parts of a film that trials have, in run order; those of which the times can be told. */
export function filmParts(study: Study, clip: string, index: ClipIndex | null): FilmPart[] {
  const film = study.clips.find((c) => c.id === clip);
  return study.trials
    .slice()
    .sort((a, b) => a.order - b.order)
    .flatMap((t) => {
      const link = study.clips.find((c) => c.id === t.clip);
      if (!link?.part || !film || !sameFile(link, film)) return [];
      const [from, to] = [secondsOf(index, link.part.first), secondsOf(index, link.part.last)];
      return from === null || to === null ? [] : [{ trial: t.id, name: trialLabel(study, t.id), from, to }];
    });
}

/** A frame's own time, or about when it is shown; null when neither can be told. */
export function secondsOf(index: ClipIndex | null, frame: number): number | null {
  const known = timeOf(index, frame);
  if (known !== undefined) return Number(known.toFixed(2));
  return index?.rateMedianHz ? Number((frame / index.rateMedianHz).toFixed(2)) : null;
}
