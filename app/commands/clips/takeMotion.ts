import type { ClipMotion, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { marksOf, onPicture, withMarks } from "../marks/marksOf.ts";

interface Args {
  readonly trial: string;
  readonly motion: ClipMotion;
  readonly picture: MarkedPicture;
}

/** Keeps what the background of a trial's clip says of its motion, so that its measuring allows for it. */
export const takeMotion: Command<Args> = {
  name: "takeMotion",
  label: () => "take what the clip's background shows",
  run(whole, { trial, motion, picture }) {
    return withMarks(whole, { ...onPicture(marksOf(whole, trial), picture), motion });
  },
};
