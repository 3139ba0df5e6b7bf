import type { LikeClip } from "../../../src/study/types.ts";
import { withLike } from "../../../src/trials/setupEdits.ts";
import type { Command } from "../Command.ts";

/** Takes it that a clip of a camera set-up looks as its background says against another of its clips. */
export const tieByBackground: Command<{ trial: string; like: LikeClip }> = {
  name: "tieByBackground",
  label: () => "take what the background shows",
  run(whole, { trial, like }) {
    const setups = withLike(whole.study.setups ?? [], trial, like);
    return { ...whole, study: { ...whole.study, setups } };
  },
};
