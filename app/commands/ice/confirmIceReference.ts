import { setupOf } from "../../../src/trials/scaleReference.ts";
import { withLike } from "../../../src/trials/setupEdits.ts";
import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";
import { checkedHere } from "./icePoints.ts";

/** Says that a scale from elsewhere (a camera set-up's, or one copied in an older study) sits on its places in this clip too. */
export const confirmIceReference: Command<{ trial: string }> = {
  name: "confirmIceReference",
  label: () => "say that the scale fits here",
  run(whole, { trial }) {
    const before = marksOf(whole, trial);
    if (before.iceReference?.copiedFrom !== undefined)
      return withMarks(whole, { ...before, iceReference: checkedHere(before.iceReference) });
    const like = setupOf(whole, trial)?.trials.find((t) => t.trial === trial)?.like;
    if (like?.by !== "said") return whole;
    const setups = withLike(whole.study.setups!, trial, { ...like, by: "looked" });
    return { ...whole, study: { ...whole.study, setups } };
  },
};
