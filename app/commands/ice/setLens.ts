import { MeasureError } from "../../../src/errors.ts";
import type { CameraSetup, Lens } from "../../../src/study/types.ts";
import { setupOf } from "../../../src/trials/scaleReference.ts";
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
    const setup = reference.kind === "ice-points" ? setupOf(whole, trial) : null;
    if (!setup) return withMarks(whole, { ...before, iceReference: lens ? { ...rest, lens } : rest });
    // One lens for all clips of a set-up stands with it: a clip that is taken out leaves it there.
    const put = withMarks(whole, { ...before, iceReference: rest });
    const setups = put.study.setups?.map((s) => (s === setup ? withLens(s, lens) : s)) ?? [];
    return { ...put, study: { ...put.study, setups } };
  },
};

function withLens({ lens: _, ...setup }: CameraSetup, lens: Lens | null): CameraSetup {
  return lens ? { ...setup, lens } : setup;
}
