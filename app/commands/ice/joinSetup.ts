import { MeasureError } from "../../../src/errors.ts";
import type { MarkedPicture } from "../../../src/study/types.ts";
import { joined } from "../../../src/trials/setupEdits.ts";
import type { Command } from "../Command.ts";
import { marksOf, onPicture, withMarks } from "../marks/marksOf.ts";

/** Says that a trial's clip was filmed by the camera of another's from the same place: their ice points serve both. */
export const joinSetup: Command<{ trial: string; other: string; picture: MarkedPicture }> = {
  name: "joinSetup",
  label: () => "say that two clips were filmed from the same place",
  run(whole, { trial, other, picture }) {
    const its = marksOf(whole, other).picture;
    if (!its || trial === other) {
      throw new MeasureError(
        "no-picture",
        `joinSetup: nothing is marked on ${other}`,
        "Nothing is marked on that trial's clip yet. Choose another one.",
        { other },
      );
    }
    if (its.width !== picture.width || its.height !== picture.height) {
      throw new MeasureError(
        "other-picture",
        `joinSetup needs ${picture.width}x${picture.height} px, ${other} has ${its.width}x${its.height} px`,
        `That trial's picture is ${its.width} x ${its.height} px and this one's is ${picture.width} x ${picture.height} px, so its scale would be wrong here. Mark the ice points on this clip.`,
        { other, width: its.width, height: its.height },
      );
    }
    const before = onPicture(marksOf(whole, trial), picture);
    // What was copied once is not this clip's own.
    const own = before.iceReference?.copiedFrom === undefined ? before.iceReference : null;
    const put = withMarks(whole, { ...before, iceReference: own });
    const setups = joined(put.study, put.marks, trial, other);
    return { ...put, study: { ...put.study, setups } };
  },
};
