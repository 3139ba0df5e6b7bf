import { freshId } from "../../../src/study/ids.ts";
import type { Command } from "../Command.ts";
import { unusedName } from "../unusedName.ts";
import { withStudy } from "../withStudy.ts";

/** Adds a skater; the code is the next free S1, S2, S3 … */
export const addSkater: Command<{ name: string }> = {
  name: "addSkater",
  label: ({ name }) => `add skater ${name.trim()}`,
  run(whole, { name }) {
    const { skaters } = whole.study;
    const typed = unusedName("skater", name, skaters);
    let n = skaters.length + 1;
    while (skaters.some((s) => s.code === `S${n}`)) n++;
    const id = freshId(
      typed,
      skaters.map((s) => s.id),
      "skater",
    );
    return withStudy(whole, { skaters: [...skaters, { id, name: typed, code: `S${n}`, body: {} }] });
  },
};
