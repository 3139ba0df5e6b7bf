import { plannedCamera } from "../../../src/ice/placement/cameraPlan.ts";
import type { CameraPlan } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** Tries a camera out before filming. Throws what `plannedCamera` throws. */
export const setCameraPlan: Command<{ plan: CameraPlan; what: string }> = {
  name: "setCameraPlan",
  label: ({ what }) => `change ${what}`,
  run(whole, { plan }) {
    plannedCamera(plan);
    return withStudy(whole, { cameraPlan: plan });
  },
};
