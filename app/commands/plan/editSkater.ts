import { MeasureError } from "../../../src/errors.ts";
import type { Body, Skater } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { unusedName } from "../unusedName.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Lengths a body can have, metres; catches centimetres typed as metres. */
const BODY_RANGE: Record<keyof Body, readonly [number, number]> = {
  hipHeight: [0.3, 1.2],
  upperArm: [0.12, 0.5],
  forearm: [0.12, 0.45],
  stature: [0.9, 2.3],
  blade: [0.15, 0.5],
};

/** Changes a skater's name, code or body lengths. */
export const editSkater: Command<{ skater: string; change: Partial<Omit<Skater, "id">>; what: string }> = {
  name: "editSkater",
  label: ({ what }) => `change ${what}`,
  run(whole, { skater, change }) {
    const { skaters } = whole.study;
    const others = skaters.filter((s) => s.id !== skater);
    const name = change.name === undefined ? undefined : unusedName("skater", change.name, others);
    for (const [part, length] of Object.entries(change.body ?? {}) as [keyof Body, number | undefined][]) {
      const range = BODY_RANGE[part];
      if (length === undefined || !range) continue;
      const [least, most] = range;
      if (length >= least && length <= most) continue;
      throw new MeasureError(
        "body-length",
        `editSkater needs ${part} from ${least} to ${most} m, got ${length}`,
        `${length} m is no such length of a body (${least} to ${most} m). Type it like 0.31 m or 31 cm.`,
        { part, length },
      );
    }
    return withStudy(whole, {
      skaters: changed(skaters, skater, (s) => ({ ...s, ...change, ...(name !== undefined && { name }) })),
    });
  },
};
