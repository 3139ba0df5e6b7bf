import type { FilmedTrial } from "../film.ts";
import { type Blunder, edited, moved } from "./blunder.ts";

/** What the camera did, or is said to be. */

const lens = (k1: number): Blunder => ({
  name: `a lens of k1 = ${k1}, not said`,
  unseen:
    "within the points what the lens bends is left in their plane; it counts where it is more than the marks' noise",
  harmless: true,
  conditions: { lens: k1 },
  spoil: (film) => ({ ...film, lens: null }),
});

/** A knock in the middle of the trial: everything after it is so many pixels aside. */
function bumped(film: FilmedTrial, px: number): FilmedTrial | null {
  const middle = film.picked[film.picked.length >> 1];
  if (!middle) return null;
  return edited(film, "marks", (row) =>
    Number(row.frame) < middle.off ? row : moved(moved(row, "x_px", px), "y_px", px),
  );
}

const BUMP_PX = 5;

export const CAMERA_BLUNDERS: readonly Blunder[] = [
  lens(-0.15),
  lens(-0.28),
  {
    name: `a camera bumped by ${BUMP_PX} px in the middle, not checked`,
    unseen:
      "nothing in the blades' marks says that the ice points have moved: press one again on a late frame",
    spoil: (film) => bumped(film, BUMP_PX),
  },
  {
    name: "a picture of 1280x720 said of one of 1920x1080",
    unseen: "none should",
    spoil: (film) => ({ ...film, picture: { width: 1280, height: 720 } }),
  },
];
