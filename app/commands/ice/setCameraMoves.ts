import type { MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { marksOf, onPicture, withMarks } from "../marks/marksOf.ts";
import { icePointsOn, withFrame } from "./icePoints.ts";

interface Args {
  readonly trial: string;
  readonly moves: boolean;
  /** The frame looked at: its ice points are kept, in either direction. */
  readonly frame: number;
  readonly picture: MarkedPicture;
}

/** Says whether the camera pans or zooms, so that ice points belong to the frame they are put on. */
export const setCameraMoves: Command<Args> = {
  name: "setCameraMoves",
  label: ({ moves }) => (moves ? "say that the camera moves" : "say that the camera stands still"),
  run(whole, { trial, moves, frame, picture }) {
    const before = onPicture(marksOf(whole, trial), picture);
    const reference = before.iceReference;
    if ((reference?.kind === "ice-points-by-frame") === moves) return whole;
    const kind = moves ? { kind: "ice-points-by-frame" as const, frames: [] } : null;
    const points = icePointsOn(reference, frame).map((p) => withFrame(p, kind, p.frame ?? frame));
    const lens =
      reference && reference.kind !== "known-lengths" && reference.lens ? { lens: reference.lens } : {};
    if (moves) {
      const frames = points.length > 0 ? [{ frame, points }] : [];
      return withMarks(whole, { ...before, iceReference: { kind: "ice-points-by-frame", frames, ...lens } });
    }
    return withMarks(whole, {
      ...before,
      iceReference: points.length > 0 ? { kind: "ice-points", points, ...lens } : null,
    });
  },
};
