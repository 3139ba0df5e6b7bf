import type { LikeClip, WholeStudy } from "../../../../src/study/types.ts";
import { scaleReference, setupOf } from "../../../../src/trials/scaleReference.ts";
import { ownPoints } from "../../../../src/trials/setupEdits.ts";

/** What a trial's scale has from its camera set-up. */
export interface SharedScale {
  readonly name: string;
  /** How this clip is known to look; null = by its own ice points. */
  readonly by: LikeClip["by"] | null;
  /** Its clips give no scale together. */
  readonly refused?: boolean;
}

/** null = the trial's own ice reference is all there is. */
export function sharedScale(whole: WholeStudy, trial: string): SharedScale | null {
  const reference = scaleReference(whole, trial);
  const setup = setupOf(whole, trial);
  const marks = whole.marks[trial];
  if (
    !setup ||
    !reference ||
    reference.kind === "followed" ||
    (reference.kind !== "set-up" && reference === marks?.iceReference)
  )
    return null;
  // Alone in its set-up, through a lens that another set-up of the same camera showed.
  if (reference.kind === "set-up" && reference.setup.clips.length < 2) return null;
  const like = setup.trials.find((t) => t.trial === trial)?.like;
  return {
    name: setup.name,
    by: ownPoints(marks) >= 2 && like?.by !== "background" ? null : (like?.by ?? null),
  };
}

/** Whether a scale from elsewhere waits for somebody to look whether it fits here. */
export function isUnchecked(whole: WholeStudy, trial: string): boolean {
  return (
    whole.marks[trial]?.iceReference?.copiedFrom !== undefined || sharedScale(whole, trial)?.by === "said"
  );
}
