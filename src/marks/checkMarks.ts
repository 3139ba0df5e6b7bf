import { MeasureError } from "../errors.ts";
import type { Mark, Picture } from "../study/types.ts";
import { checkBlades } from "./checkBlades.ts";
import { markNumber } from "./markTable.ts";
import { pointWords } from "./pointWords.ts";

/** Standard uncertainty of a mark, px: wider than any picture it tells nothing, and much wider no number that rests on it can be worked out. */
const MOST_UNSURE = 1e5;

/**
 * Refuses marks that cannot be what anybody meant.
 *
 * @throws {MeasureError} `bad-picture-size`, `mark-not-a-number`, `mark-too-unsure`, `mark-outside-picture`, `duplicate-mark`,
 *   `blade-without-length`, `blades-on-one-spot`, `blade-does-not-move`
 */
export function checkMarks(marks: readonly Mark[], picture: Picture): void {
  checkPicture(picture);
  checkEachMark(marks, picture);
  checkBlades(marks);
}

function checkPicture({ width, height }: Picture): void {
  if (width > 0 && height > 0 && Number.isFinite(width * height)) return;
  throw new MeasureError(
    "bad-picture-size",
    `checkMarks requires a picture with a size; got ${width} x ${height}`,
    `The picture's size must be two numbers of pixels above 0; it is ${width} by ${height}.`,
    { width, height },
  );
}

function checkEachMark(marks: readonly Mark[], picture: Picture): void {
  const seen = new Set<number | string>();
  for (const mark of marks) {
    const name = () => pointWords(mark.point, mark.side);
    const { uPx = 1 } = mark;
    if (!Number.isFinite(mark.xPx) || !Number.isFinite(mark.yPx) || !(uPx > 0 && Number.isFinite(uPx))) {
      throw new MeasureError(
        "mark-not-a-number",
        `checkMarks requires finite coordinates and a positive uncertainty; frame ${mark.frame} ${mark.side} ${mark.point} has ${mark.xPx}, ${mark.yPx}, ${mark.uPx}`,
        `The ${name()} in frame ${mark.frame} has no usable place in the picture. Mark it again.`,
        { frame: mark.frame, point: mark.point, side: mark.side },
      );
    }
    if (uPx > MOST_UNSURE) {
      throw new MeasureError(
        "mark-too-unsure",
        `checkMarks requires an uncertainty of at most ${MOST_UNSURE} px; frame ${mark.frame} ${mark.side} ${mark.point} has ${uPx}`,
        `The ${name()} in frame ${mark.frame} is given as good to ${uPx} px, more than any picture is wide. Correct its standard uncertainty (u_px), or leave it out.`,
        { frame: mark.frame, point: mark.point, side: mark.side, uPx },
      );
    }
    if (
      mark.xPx < -0.5 ||
      mark.yPx < -0.5 ||
      mark.xPx > picture.width - 0.5 ||
      mark.yPx > picture.height - 0.5
    ) {
      throw new MeasureError(
        "mark-outside-picture",
        `checkMarks requires marks inside the picture (${picture.width} x ${picture.height}); frame ${mark.frame} ${mark.side} ${mark.point} is at ${mark.xPx}, ${mark.yPx}`,
        `The ${name()} in frame ${mark.frame} lies outside the picture, which is ${picture.width} by ${picture.height} px. Mark it again.`,
        { frame: mark.frame, point: mark.point, side: mark.side },
      );
    }
    // Checked at each movement of a mark: words only where a number does not tell marks apart.
    const key =
      mark.observer === undefined && mark.pass === undefined && Number.isInteger(mark.frame)
        ? markNumber(mark.frame, mark.side, mark.point)
        : `${mark.frame}|${mark.point}|${mark.side}|${mark.observer ?? ""}|${mark.pass ?? ""}`;
    if (seen.has(key)) {
      throw new MeasureError(
        "duplicate-mark",
        `checkMarks requires one mark per frame, point, side, observer and pass; frame ${mark.frame} ${mark.side} ${mark.point} has two`,
        `The ${name()} is marked twice in frame ${mark.frame}. Remove one; repeat marks need their own observer or pass.`,
        { frame: mark.frame, point: mark.point, side: mark.side },
      );
    }
    seen.add(key);
  }
}
