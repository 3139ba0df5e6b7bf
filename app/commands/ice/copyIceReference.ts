import { MeasureError } from "../../../src/errors.ts";
import type { MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { marksOf, onPicture, withMarks } from "../marks/marksOf.ts";

/** Takes the ice reference of another trial filmed by the same camera that did not move in between. */
export const copyIceReference: Command<{ trial: string; from: string; picture: MarkedPicture }> = {
  name: "copyIceReference",
  label: () => "copy the scale from another trial",
  run(whole, { trial, from, picture }) {
    const source = marksOf(whole, from);
    if (!source.iceReference || !source.picture) {
      throw new MeasureError(
        "no-reference",
        `copyIceReference: trial ${from} has no ice reference`,
        "That trial has no ice reference to copy. Choose another one.",
        { from },
      );
    }
    const { width, height } = source.picture;
    if (width !== picture.width || height !== picture.height) {
      throw new MeasureError(
        "other-picture",
        `copyIceReference needs ${picture.width}x${picture.height} px, ${from} has ${width}x${height} px`,
        `That trial's picture is ${width} x ${height} px and this one's is ${picture.width} x ${picture.height} px, so its scale would be wrong here. Mark the ice points on this clip.`,
        { from, width, height },
      );
    }
    const before = onPicture(marksOf(whole, trial), picture);
    return withMarks(whole, { ...before, iceReference: { ...source.iceReference, copiedFrom: from } });
  },
};
