import { MeasureError } from "../../../src/errors.ts";
import type { Lens } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";

/** Gives the lens's radial coefficients where they are known; null leaves them to the ice points. */
export const setLens: Command<{ trial: string; lens: Lens | null }> = {
  name: "setLens",
  label: () => "change the lens",
  run(whole, { trial, lens }) {
    const before = marksOf(whole, trial);
    const reference = before.iceReference;
    if (!reference || reference.kind === "known-lengths") {
      throw new MeasureError(
        "no-ice-points",
        "setLens needs an ice reference of ice points",
        "A lens can be said once there are ice points; known lengths make no use of it.",
      );
    }
    const { lens: _, ...rest } = reference;
    return withMarks(whole, { ...before, iceReference: lens ? { ...rest, lens } : rest });
  },
};
