import type { ClipLink } from "../../../src/study/types.ts";
import { sameFile } from "../../../src/trials/sameClip.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/**
 * Says where a clip of the study lies now, or which other file it is from now on; its part stays. A file that only lies
 * elsewhere takes along the other links to it, which are of other parts.
 */
export const relinkClip: Command<{ clip: ClipLink }> = {
  name: "relinkClip",
  label: ({ clip }) => `file of clip ${clip.name}`,
  run(whole, { clip }) {
    const { clips } = whole.study;
    const old = clips.find((c) => c.id === clip.id);
    if (!old) return whole;
    const { path, bytes, sha256 } = clip;
    const moved = { path, bytes, ...(sha256 === undefined ? {} : { sha256 }) };
    const goesAlong = (other: ClipLink) =>
      other.path === old.path && sameFile(other, old) && sameFile({ ...clip, id: "" }, old);
    return withStudy(whole, {
      clips: clips.map((c) => (c.id === clip.id ? { ...c, ...clip } : goesAlong(c) ? { ...c, ...moved } : c)),
    });
  },
};
