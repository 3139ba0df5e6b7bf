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
  const width = Math.min(picture.width, Math.max(LEAST_PX, long));
  const height = Math.min(picture.height, width * SHAPE);
  const within = (value: number, most: number) => Math.max(-0.5, Math.min(most - 0.5, value));
  return {
    x: within((left + right - width) / 2, picture.width - width),
    y: within((top + bottom - height) / 2, picture.height - height),
    width,
    height,
  };
}
