import type { NotSeen } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { pointWords } from "../words.ts";
import { marksOf, withMarks } from "./marksOf.ts";

/** Notes that a point can't be seen on a frame, so that it is not asked for again. Takes away a mark it had there. */
export const markNotSeen: Command<{ trial: string; notSeen: NotSeen }> = {
  name: "markNotSeen",
  label: ({ notSeen }) => `"can't be seen" for ${pointWords(notSeen.point, notSeen.side)}`,
  run(whole, { trial, notSeen }) {
    const before = marksOf(whole, trial);
    const same = (n: NotSeen) =>
      n.frame === notSeen.frame && n.point === notSeen.point && n.side === notSeen.side;
    if (before.notSeen?.some(same)) return whole;
    return withMarks(whole, {
      ...before,
      marks: before.marks.filter((m) => !(same(m) && m.observer === undefined && m.pass === undefined)),
      notSeen: [...(before.notSeen ?? []), notSeen],
    });
  },
};
