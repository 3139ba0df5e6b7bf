import type { MarkedPicture, TrialMarks } from "../../../../src/study/types.ts";
import type { Area } from "./Crop.tsx";
import type { FoundEvent } from "./found.ts";
import { type At, likelyPlace, type Piece } from "./rowPoints.ts";

/** What is shown about a blade or the hips, as a multiple of their own length. */
const AROUND_BLADE = 3.2;
const AROUND_HIPS = 4.5;
const LEAST_PX = 44;
/** Height over width. */
const SHAPE = 0.8;

/** What part of the picture to magnify for some pieces of a row; the same on all frames beside each other. null = nothing tells. */
export function areaOf(
  pieces: readonly Piece[],
  row: Pick<FoundEvent, "event" | "side" | "frame">,
  { marks, picture }: { readonly marks: TrialMarks; readonly picture: MarkedPicture },
  isDone: boolean,
): Area | null {
  const at = pieces.flatMap((piece) =>
    piece.flatMap((p): At[] => {
      // Where it was suggested, not where it is dragged to: the view stays while one drags.
      if (p.suggested) return [p.suggested];
      if (isDone && p.at) return [p.at];
      const likely = likelyPlace(marks, row, p, row.frame);
      return likely ? [likely] : [];
    }),
  );
  if (at.length === 0) return null;
  const [xs, ys] = [at.map((a) => a.xPx), at.map((a) => a.yPx)];
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const isHip = pieces.every((piece) => piece[0]?.point === "hip");
  const isUnsure = !isDone && pieces.some((piece) => piece.some((p) => !p.suggested));
  const long =
    Math.hypot(right - left, bottom - top) * (isHip ? AROUND_HIPS : AROUND_BLADE) * (isUnsure ? 1.6 : 1);
  const centre = { xPx: (left + right) / 2, yPx: (top + bottom) / 2 };
  return about(centre, Math.max(LEAST_PX, long), picture);
}

function about({ xPx, yPx }: At, wide: number, picture: MarkedPicture): Area {
  const width = Math.min(picture.width, wide);
  const height = Math.min(picture.height, width * SHAPE);
  const within = (value: number, most: number) => Math.max(-0.5, Math.min(most - 0.5, value));
  return {
    x: within(xPx - width / 2, picture.width - width),
    y: within(yPx - height / 2, picture.height - height),
    width,
    height,
  };
}

/** How much more is shown where a suggestion is hidden. */
const HIDDEN_GROWS = 1.6;

/**
 * A larger part of the picture with all of the area in it, anywhere: its middle does not say where the suggestion is.
 *
 * @param by the same numbers each time, so that the view stays
 */
export function hiddenArea(
  area: Area,
  picture: MarkedPicture,
  by: (name: string) => number,
  what: string,
): Area {
  const aside = (size: number, name: string) => (HIDDEN_GROWS - 1) * size * (by(`${what} ${name}`) - 0.5);
  const centre = {
    xPx: area.x + area.width / 2 + aside(area.width, "x"),
    yPx: area.y + area.height / 2 + aside(area.height, "y"),
  };
  return about(centre, HIDDEN_GROWS * area.width, picture);
}
