import type { KeptSound } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";

interface Args {
  readonly view: string;
  readonly sound: KeptSound;
}

/** Keeps what a view's clip and the first one's let hear of their clocks, so that they are tied by it as well. */
export const takeSound: Command<Args> = {
  name: "takeSound",
  label: () => "take what both clips let hear",
  run(whole, { view, sound }) {
    return withMarks(whole, { ...marksOf(whole, view), sound });
  },
};
