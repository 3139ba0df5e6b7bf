import { freshId } from "../../../src/study/ids.ts";
import type { Command } from "../Command.ts";
import { unusedName } from "../unusedName.ts";
import { withStudy } from "../withStudy.ts";

export const addTechnique: Command<{ name: string }> = {
  name: "addTechnique",
  label: ({ name }) => `add technique ${name.trim()}`,
  run(whole, { name }) {
    const { techniques } = whole.study;
    const typed = unusedName("technique", name, techniques);
    const id = freshId(
      typed,
      techniques.map((t) => t.id),
      "technique",
    );
    return withStudy(whole, { techniques: [...techniques, { id, name: typed, asked: [] }] });
  },
};
