import type { Study, Trial, TrialClip } from "./types.ts";

/** A trial as one of its views has it: that view's clip and speed factor, and as `id` the one its marks have. */
export type TrialView = Trial;

/** Every measured view of a trial, the first one first; the first is the trial as it is. */
export function viewsOf(trial: Trial): TrialView[] {
  return [trial, ...furtherViews(trial).map((view) => seenBy(trial, view))];
}

/** Ids of everything that can have marks: trials, and further views of trials. */
export function markedIds({ trials }: Pick<Study, "trials">): string[] {
  return trials.flatMap((trial) => viewsOf(trial).map(({ id }) => id));
}

/** The trial, or the further view of one, that has this id; undefined where none has. */
export function viewWithId({ trials }: Pick<Study, "trials">, id: string | null): TrialView | undefined {
  return trials.find((t) => t.id === id) ?? trials.flatMap(viewsOf).find((view) => view.id === id);
}

/** The trial whose view has this id: the trial itself, or one with such a further view. */
export function trialOfView({ trials }: Pick<Study, "trials">, id: string | null): Trial | undefined {
  return trials.find((trial) => viewsOf(trial).some((view) => view.id === id));
}

/** Every clip of a trial, whatever it is for, the first view's first. */
export function clipsOf({ clip, clips = [] }: Trial): string[] {
  return [...(clip === undefined ? [] : [clip]), ...clips.map((one) => one.clip)];
}

/** The clip of the time display. */
export function clockOf({ clips = [] }: Trial): TrialClip | undefined {
  return clips.find(({ role }) => role === "clock");
}

function furtherViews({ clips = [] }: Trial): (TrialClip & { readonly id: string })[] {
  return clips.flatMap((one) =>
    one.role === "view" && one.id !== undefined ? [{ ...one, id: one.id }] : [],
  );
}

function seenBy(trial: Trial, { id, clip, speedFactor = 1 }: TrialClip & { readonly id: string }): TrialView {
  const { clips: _, ...rest } = trial;
  return { ...rest, id, clip, speedFactor };
}
