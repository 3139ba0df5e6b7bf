import { trialOfView, viewsOf } from "../../../../src/study/trialViews.ts";
import type { WholeStudy } from "../../../../src/study/types.ts";

/** A clip of the same run that can be shown beside the one that is measured. */
export interface BesideClip {
  readonly clip: string;
  /** "View 2", "the clock", or the file's name where it is only to look at. */
  readonly name: string;
  /** Of a measured view: its id; null where it has no clock of its own that events could tie. */
  readonly view: string | null;
  readonly speedFactor: number;
}

/** Every other clip of the trial: its views first, then those to look at and the clock's. */
export function besideClips({ study }: Pick<WholeStudy, "study">, id: string): BesideClip[] {
  const trial = trialOfView(study, id);
  if (!trial) return [];
  const views = viewsOf(trial).flatMap((view, k): BesideClip[] =>
    view.clip === undefined || view.id === id
      ? []
      : [{ clip: view.clip, name: `View ${k + 1}`, view: view.id, speedFactor: view.speedFactor }],
  );
  const named = (clip: string) => study.clips.find((c) => c.id === clip)?.name ?? clip;
  const others = (trial.clips ?? []).flatMap(({ clip, role, speedFactor = 1 }): BesideClip[] =>
    role === "view"
      ? []
      : [{ clip, name: role === "clock" ? "the clock" : named(clip), view: null, speedFactor }],
  );
  return [...views, ...others];
}
