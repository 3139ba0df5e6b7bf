import { MeasureError } from "../../../src/errors.ts";
import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";

/** Says what a panned camera takes of the time between frames from a frame's first row to its last; null leaves it to the ice points. */
export const setReadout: Command<{ trial: string; share: number | null }> = {
  name: "setReadout",
  label: () => "change the readout time",
  run(whole, { trial, share }) {
    const before = marksOf(whole, trial);
    const reference = before.iceReference;
    if (reference?.kind !== "ice-points-by-frame") {
      throw new MeasureError(
        "no-ice-points",
        "setReadout needs ice points frame by frame",
        "A readout time is of use only where the camera pans or zooms.",
      );
    }
    const { readoutShare: _, ...rest } = reference;
    const iceReference = share === null ? rest : { ...rest, readoutShare: share };
    return withMarks(whole, { ...before, iceReference });
  },
};
