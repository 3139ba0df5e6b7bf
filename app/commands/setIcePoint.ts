import { MeasureError } from "../../src/errors.ts";
import type { IcePoint, MarkedPicture } from "../../src/study/types.ts";
import type { Command } from "./Command.ts";
import { insidePicture, marksOf, onPicture, withMarks } from "./marksOf.ts";

/** Puts an ice point on the picture; the one of the same label moves. Replaces known lengths, if there were any. */
export const setIcePoint: Command<{ trial: string; point: IcePoint; picture: MarkedPicture }> = {
  name: "setIcePoint",
  label: ({ point }) => `ice point ${point.label}`,
  run(whole, { trial, point, picture }) {
    insidePicture(point.xPx, point.yPx, picture);
    if (point.label.trim() === "") {
      throw new MeasureError("no-label", "setIcePoint needs a label", "Give the ice point a name first.");
    }
    const before = onPicture(marksOf(whole, trial), picture);
    const reference = before.iceReference;
    const kept = reference?.kind === "ice-points" ? reference : { kind: "ice-points" as const, points: [] };
    const twin = kept.points.find((p) => p.label !== point.label && p.x === point.x && p.y === point.y);
    if (twin) {
      throw new MeasureError(
        "same-place",
        `setIcePoint: ${point.label} and ${twin.label} share one place`,
        `"${twin.label}" already stands for that place on the ice. Remove it first, or choose another place.`,
        { label: twin.label },
      );
    }
    const there = kept.points.some((p) => p.label === point.label);
    const points = there
      ? kept.points.map((p) => (p.label === point.label ? point : p))
      : [...kept.points, point];
    return withMarks(whole, { ...before, iceReference: { ...kept, points } });
  },
};
