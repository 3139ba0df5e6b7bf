import type { MeasureInput } from "../../../src/kinematics/types.ts";
import type { FilmedTrial } from "../film.ts";
import { see } from "../lens.ts";
import type { Dice } from "../random.ts";
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

/** Some of the ice points pressed again in the last frame, the picture shifted by so many px meanwhile. */
function checked(film: FilmedTrial, d: Dice, count: number, shift: number): MeasureInput["iceReference"] {
  const { camera, icePoints } = film.filmed.views[0]!;
  const frame = Math.max(...film.picked.map((p) => p.on));
  const rechecks = icePoints.slice(0, count).map(({ label, at }) => {
    const [x, y] = see(camera, at)!;
    return { frame, label, xPx: x + shift + d.normal(1), yPx: y + shift + d.normal(1) };
  });
  return { kind: "ice-points", points: [], rechecks };
}

const withChecks =
  (count: number, shift: number): NonNullable<Blunder["input"]> =>
  (input, film, d) => {
    const again = checked(film, d, count, shift);
    const { iceReference } = input;
    if (iceReference?.kind !== "ice-points" || again?.kind !== "ice-points") return input;
    return { ...input, iceReference: { ...iceReference, rechecks: again.rechecks! } };
  };

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
    name: `the same, one ice point pressed again at the end`,
    unseen: "none should",
    spoil: (film) => bumped(film, BUMP_PX),
    input: withChecks(1, BUMP_PX),
  },
  {
    name: "a camera that stood still, three ice points pressed again",
    unseen: "nothing to see",
    harmless: true,
    spoil: (film) => film,
    input: withChecks(3, 0),
  },
  {
    name: "a picture of 1280x720 said of one of 1920x1080",
    unseen: "none should",
    spoil: (film) => ({ ...film, picture: { width: 1280, height: 720 } }),
  },
];
