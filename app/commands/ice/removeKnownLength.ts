import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";

/** Takes a known length away; the last one takes the ice reference with it. `index` counts from 0. */
export const removeKnownLength: Command<{ trial: string; index: number }> = {
  name: "removeKnownLength",
  label: ({ index }) => `remove known length ${index + 1}`,
  run(whole, { trial, index }) {
    const before = marksOf(whole, trial);
    if (before.iceReference?.kind !== "known-lengths") return whole;
    const lengths = before.iceReference.lengths.filter((_, i) => i !== index);
    if (lengths.length === before.iceReference.lengths.length) return whole;
    return withMarks(whole, {
      ...before,
      iceReference: lengths.length > 0 ? { kind: "known-lengths", lengths } : null,
    });
  },
};
