import { MeasureError } from "../../../src/errors.ts";
import type { IceRecheck } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { insidePicture, marksOf, withMarks } from "../marks/marksOf.ts";

/** Marks an ice point of a still camera once more on another frame, to see whether the camera was bumped. */
export const recheckIcePoint: Command<{ trial: string; recheck: IceRecheck }> = {
  name: "recheckIcePoint",
  label: ({ recheck }) => `check of ice point ${recheck.label} on frame ${recheck.frame}`,
  run(whole, { trial, recheck }) {
    const before = marksOf(whole, trial);
    const reference = before.iceReference;
    const known = reference?.kind === "ice-points" && reference.points.some((p) => p.label === recheck.label);
    if (!known || !before.picture) {
      throw new MeasureError(
        "no-ice-point",
        `recheckIcePoint: there is no ice point ${recheck.label}`,
        "Only an ice point that is marked already can be checked again.",
      );
    }
    insidePicture(recheck.xPx, recheck.yPx, before.picture);
    const others = (reference.rechecks ?? []).filter(
      (r) => r.label !== recheck.label || r.frame !== recheck.frame,
    );
    return withMarks(whole, {
      ...before,
      iceReference: { ...reference, rechecks: [...others, recheck] },
    });
  },
};
