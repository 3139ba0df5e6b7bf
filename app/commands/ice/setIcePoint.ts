import { MeasureError } from "../../../src/errors.ts";
import type { IcePoint, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { insidePicture, marksOf, onPicture, withMarks } from "../marks/marksOf.ts";
import { icePointsOn, withFrame, withIcePoints } from "./icePoints.ts";

interface Args {
  readonly trial: string;
  /** Matters where the camera moves. */
  readonly frame: number;
  readonly point: IcePoint;
  readonly picture: MarkedPicture;
}

/** Puts an ice point on the picture; the one of the same label moves. Replaces known lengths, if there were any. */
export const setIcePoint: Command<Args> = {
  name: "setIcePoint",
  label: ({ point }) => `ice point ${point.label}`,
  run(whole, { trial, frame, point, picture }) {
    insidePicture(point.xPx, point.yPx, picture);
    if (point.label.trim() === "") {
      throw new MeasureError("no-label", "setIcePoint needs a label", "Give the ice point a name first.");
    }
    const before = onPicture(marksOf(whole, trial), picture);
    const kept = icePointsOn(before.iceReference, frame);
    const twin = kept.find((p) => p.label !== point.label && p.x === point.x && p.y === point.y);
    if (twin) {
      throw new MeasureError(
        "same-place",
        `setIcePoint: ${point.label} and ${twin.label} share one place`,
        `"${twin.label}" already stands for that place on the ice. Remove it first, or choose another place.`,
        { label: twin.label },
      );
    }
    const there = kept.some((p) => p.label === point.label);
    const put = withFrame(point, before.iceReference, frame);
    const points = there ? kept.map((p) => (p.label === point.label ? put : p)) : [...kept, put];
    return withMarks(whole, { ...before, iceReference: withIcePoints(before.iceReference, frame, points) });
  },
};
