import { plannedCamera } from "../../../src/ice/placement/cameraPlan.ts";
import type { CameraPlan, Study } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";

/** Tries out a second camera beside the first; null = one camera. Throws what `plannedCamera` throws. */
export const setSecondCamera: Command<{ plan: CameraPlan | null; what: string }> = {
  name: "setSecondCamera",
  label: ({ plan, what }) => (plan ? `change ${what} of the second camera` : "one camera"),
  run(whole, { plan }) {
    const { secondCamera: _, ...rest } = whole.study;
    if (plan) plannedCamera(plan);
    const study: Study = plan ? { ...rest, secondCamera: plan } : rest;
    return { ...whole, study };
  },
};
