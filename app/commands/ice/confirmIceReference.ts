import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";
import { checkedHere } from "./icePoints.ts";

/** Says that a scale copied from another trial sits on its places in this clip too. */
export const confirmIceReference: Command<{ trial: string }> = {
  name: "confirmIceReference",
  label: () => "say that the copied scale fits here",
  run(whole, { trial }) {
    const before = marksOf(whole, trial);
    if (before.iceReference?.copiedFrom === undefined) return whole;
    return withMarks(whole, { ...before, iceReference: checkedHere(before.iceReference) });
  },
};
