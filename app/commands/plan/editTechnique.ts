import { MeasureError } from "../../../src/errors.ts";
import type { Technique } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { unusedName } from "../unusedName.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Changes a technique's name or the bands it is asked by. */
export const editTechnique: Command<{
  technique: string;
  change: Partial<Omit<Technique, "id">>;
  what: string;
}> = {
  name: "editTechnique",
  label: ({ what }) => `change ${what}`,
  run(whole, { technique, change }) {
    const { techniques } = whole.study;
    const others = techniques.filter((t) => t.id !== technique);
    const name = change.name === undefined ? undefined : unusedName("technique", change.name, others);
    const upside = change.asked?.find((b) => b.min !== undefined && b.max !== undefined && b.min >= b.max);
    if (upside) {
      throw new MeasureError(
        "empty-band",
        `editTechnique: band from ${upside.min} to ${upside.max}`,
        `Nothing lies from ${upside.min} to ${upside.max}. The lower edge comes first; leave one blank if there is none.`,
      );
    }
    return withStudy(whole, {
      techniques: changed(techniques, technique, (t) => ({
        ...t,
        ...change,
        ...(name !== undefined && { name }),
      })),
    });
  },
};
