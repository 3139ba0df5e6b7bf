import { MeasureError } from "../../../src/errors.ts";
import type { KnownLength, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { insidePicture, marksOf, onPicture, withMarks } from "../marks/marksOf.ts";

interface Args {
  readonly trial: string;
  /** Which known length to replace, from 0; null adds one. */
  readonly index: number | null;
  readonly length: KnownLength;
  readonly picture: MarkedPicture;
}

/** Lays a known length on the picture. Replaces ice points, if there were any. */
export const setKnownLength: Command<Args> = {
  name: "setKnownLength",
  label: ({ length }) => `known length ${length.length.toFixed(2)} m`,
  run(whole, { trial, index, length, picture }) {
    insidePicture(length.x1Px, length.y1Px, picture);
    insidePicture(length.x2Px, length.y2Px, picture);
    if (!(length.length > 0) || !Number.isFinite(length.length)) {
      throw new MeasureError(
        "bad-length",
        `setKnownLength needs a length > 0 m, got ${length.length}`,
        "Type how long it is, in metres or feet: a number above zero.",
        { length: length.length },
      );
    }
    if (Math.hypot(length.x2Px - length.x1Px, length.y2Px - length.y1Px) < 10) {
      throw new MeasureError(
        "ends-together",
        "setKnownLength needs ends at least 10 px apart",
        "Both ends lie on the same spot. Click one end, then the other.",
      );
    }
    const before = onPicture(marksOf(whole, trial), picture);
    const kept = before.iceReference?.kind === "known-lengths" ? before.iceReference.lengths : [];
    const lengths = index === null ? [...kept, length] : kept.map((l, i) => (i === index ? length : l));
    return withMarks(whole, { ...before, iceReference: { kind: "known-lengths", lengths } });
  },
};
