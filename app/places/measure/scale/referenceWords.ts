import type { IceReference } from "../../../../src/study/types.ts";
import { plural } from "../numbers/plural.ts";

/** What an ice reference consists of, in words: "8 points", "2 known lengths". */
export function referenceWords(reference: IceReference): string {
  switch (reference.kind) {
    case "ice-points":
      return plural(reference.points.length, "point");
    case "ice-points-by-frame":
      return `points on ${plural(reference.frames.length, "frame")}`;
    case "known-lengths":
      return plural(reference.lengths.length, "known length");
  }
}
