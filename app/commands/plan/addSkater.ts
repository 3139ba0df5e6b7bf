import { freshId } from "../../../src/study/ids.ts";
import type { Skater } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { unusedName } from "../unusedName.ts";
import { withStudy } from "../withStudy.ts";

/** Adds a skater; the code is the next free S1, S2, S3 …, or the one kept for them, with the lengths kept, where it is free. */
export const addSkater: Command<{ name: string; kept?: Pick<Skater, "code" | "body"> }> = {
  name: "addSkater",
  label: ({ name }) => `add skater ${name.trim()}`,
  run(whole, { name, kept }) {
    const { skaters } = whole.study;
    const typed = unusedName("skater", name, skaters);
    let n = skaters.length + 1;
    while (skaters.some((s) => s.code === `S${n}`)) n++;
    const id = freshId(
      typed,
      skaters.map((s) => s.id),
      "skater",
    );
    const free = kept && kept.code !== "" && !skaters.some((s) => s.code === kept.code);
    const code = free ? kept.code : `S${n}`;
    return withStudy(whole, { skaters: [...skaters, { id, name: typed, code, body: kept?.body ?? {} }] });
  },
};
