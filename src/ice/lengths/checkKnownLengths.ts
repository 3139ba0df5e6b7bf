import { MeasureError } from "../../errors.ts";
import type { KnownLength, Picture } from "../../study/types.ts";

/** @throws {MeasureError} `no-known-length`, `known-length-not-a-number`, `known-length-outside-picture`, `known-length-too-short` */
export function checkKnownLengths(lengths: readonly KnownLength[], picture: Picture): void {
  if (lengths.length === 0) {
    throw new MeasureError(
      "no-known-length",
      "lengthScale requires at least one known length; got none",
      "There is no known length yet. Mark both ends of something on the ice whose length you know.",
    );
  }
  lengths.forEach((l, k) => {
    const name = `Known length ${k + 1}`;
    const numbers = [l.x1Px, l.y1Px, l.x2Px, l.y2Px, l.length, l.u ?? 0];
    if (!numbers.every(Number.isFinite) || l.length <= 0 || (l.u ?? 0) < 0) {
      throw new MeasureError(
        "known-length-not-a-number",
        `lengthScale requires finite ends and a positive length; length ${k + 1} has ${numbers.join(", ")}`,
        `${name} has an end or a length that is not a usable number. The length must be more than 0 m.`,
        { length: k + 1 },
      );
    }
    const inside = (x: number, y: number) =>
      x >= -0.5 && y >= -0.5 && x <= picture.width - 0.5 && y <= picture.height - 0.5;
    if (!inside(l.x1Px, l.y1Px) || !inside(l.x2Px, l.y2Px)) {
      throw new MeasureError(
        "known-length-outside-picture",
        `lengthScale requires ends inside the picture (${picture.width} x ${picture.height}); length ${k + 1} has one outside`,
        `${name} has an end outside the picture, which is ${picture.width} by ${picture.height} px. Mark it again.`,
        { length: k + 1 },
      );
    }
    if (Math.hypot(l.x2Px - l.x1Px, l.y2Px - l.y1Px) < 5) {
      throw new MeasureError(
        "known-length-too-short",
        `lengthScale requires ends at least 5 px apart; length ${k + 1} is shorter`,
        `${name} is under 5 px in the picture: its ends are (nearly) the same point. Mark both ends again.`,
        { length: k + 1 },
      );
    }
  });
}
