import type { LikeClip, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { joinSetup } from "./joinSetup.ts";
import { tieByBackground } from "./tieByBackground.ts";

/** A clip of which its background says how it was filmed against another. */
export interface FoundClip {
  readonly trial: string;
  readonly picture: MarkedPicture;
  readonly like: LikeClip;
}

/** Takes clips into another's camera set-up, each as its background shows it: one step, undone as one. */
export const joinClips: Command<{ other: string; clips: readonly FoundClip[] }> = {
  name: "joinClips",
  label: ({ clips }) =>
    `take ${clips.length === 1 ? "a clip" : `${clips.length} clips`} into a camera set-up`,
  run: (whole, { other, clips }) =>
    clips.reduce(
      (all, { trial, picture, like }) =>
        tieByBackground.run(joinSetup.run(all, { trial, other, picture }), { trial, like }),
      whole,
    ),
};
