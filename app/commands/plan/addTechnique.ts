import { freshId } from "../../../src/study/ids.ts";
import type { Technique } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { unusedName } from "../unusedName.ts";
import { withStudy } from "../withStudy.ts";

export const addTechnique: Command<{ name: string; asked?: Technique["asked"] }> = {
  name: "addTechnique",
  label: ({ name }) => `add technique ${name.trim()}`,
  run(whole, { name, asked = [] }) {
    const { techniques } = whole.study;
    const typed = unusedName("technique", name, techniques);
    const id = freshId(
      typed,
      techniques.map((t) => t.id),
      "technique",
    );
    return withStudy(whole, { techniques: [...techniques, { id, name: typed, asked }] });
  },
};
