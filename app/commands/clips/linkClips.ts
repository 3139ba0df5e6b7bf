import type { ClipLink } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { linkClip } from "./linkClip.ts";

/** Links several clips at once, as one step. */
export const linkClips: Command<{ links: readonly { readonly trial: string; readonly clip: ClipLink }[] }> = {
  name: "linkClips",
  label: ({ links }) =>
    links.length === 1 ? `link clip ${links[0]!.clip.name}` : `link ${links.length} clips`,
  run: (whole, { links }) => links.reduce((so, link) => linkClip.run(so, link), whole),
};
