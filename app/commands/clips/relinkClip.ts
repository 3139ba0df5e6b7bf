import type { ClipLink } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Says where a clip of the study lies now, or which other file it is from now on; its part stays. */
export const relinkClip: Command<{ clip: ClipLink }> = {
  name: "relinkClip",
  label: ({ clip }) => `file of clip ${clip.name}`,
  run: (whole, { clip }) =>
    withStudy(whole, { clips: changed(whole.study.clips, clip.id, (old) => ({ ...old, ...clip })) }),
};
