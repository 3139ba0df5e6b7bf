import { MeasureError } from "../../../src/errors.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Names a camera set-up, by its place or its camera: "behind the start", "phone, bench". */
export const nameSetup: Command<{ setup: string; name: string }> = {
  name: "nameSetup",
  label: () => "name the camera set-up",
  run(whole, { setup, name }) {
    const typed = name.trim();
    if (typed === "")
      throw new MeasureError("no-name", "nameSetup: empty name", "A camera set-up needs a name. Type one.");
    return withStudy(whole, {
      setups: changed(whole.study.setups ?? [], setup, (s) => ({ ...s, name: typed })),
    });
  },
};
