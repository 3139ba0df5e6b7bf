import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Says which camera a set-up is filmed with, "my phone, wide": set-ups of one camera share what is learned of its lens. Blank = not said. */
export const nameCamera: Command<{ setup: string; camera: string }> = {
  name: "nameCamera",
  label: () => "say which camera it is",
  run(whole, { setup, camera }) {
    const typed = camera.trim();
    return withStudy(whole, {
      setups: changed(whole.study.setups ?? [], setup, ({ camera: _, ...s }) => ({
        ...s,
        ...(typed !== "" && { camera: typed }),
      })),
    });
  },
};
