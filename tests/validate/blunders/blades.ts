import { see } from "../lens.ts";
import type { Dice } from "../random.ts";
import { type Blunder, edited, oneOf, type Row } from "./blunder.ts";

/** Mistakes with the blades' marks. */

type Film = Parameters<Blunder["spoil"]>[0];

const isBlade = (row: Row) => row.point === "blade_heel" || row.point === "blade_toe";
const otherSide = (row: Row): Row => ({ ...row, side: row.side === "left" ? "right" : "left" });

/** A marked push that has others before and after it. */
function inner(film: Film, d: Dice): Film["picked"][number] | null {
  const { picked } = film;
  return picked.length < 4 ? null : oneOf(d, picked.slice(1, -1));
}

/** The blades' marks of some frames as they would be in the picture so many frames later. */
function putLater(film: Film, d: Dice, frames: readonly number[], by: number): Film {
  const { camera } = film.filmed.views[0]!;
  return edited(film, "marks", (row) => {
    const frame = Number(row.frame);
    if (!frames.includes(frame) || !isBlade(row)) return row;
    const end = row.point === "blade_heel" ? film.skater.heel : film.skater.toe;
    const seen = see(camera, end(row.side as "left" | "right", (frame + by) / film.fps));
    return (
      seen && { ...row, x_px: (seen[0] + d.normal(1)).toFixed(5), y_px: (seen[1] + d.normal(1)).toFixed(5) }
    );
  });
}

const WHY_LATE =
  "along the axis a metre of depth is few pixels; from the side what is within a skater's own differences and the marks' noise";

const late = (name: string, seconds: number, of: (p: Film["picked"][number]) => number[]): Blunder => ({
  name: `blade marks ${name} put on the picture ${(1000 * seconds).toFixed(0)} ms later`,
  unseen: WHY_LATE,
  spoil(film, d) {
    const push = inner(film, d);
    return push && putLater(film, d, of(push), Math.max(1, Math.round(seconds * film.fps)));
  },
});

const swapped: Blunder = {
  name: "left and right blade exchanged in one blade-off's frame",
  unseen: "from the side, where no width can be told, neither can its sign",
  spoil(film, d) {
    const push = inner(film, d);
    return (
      push &&
      edited(film, "marks", (row) => (Number(row.frame) === push.off && isBlade(row) ? otherSide(row) : row))
    );
  },
};

const turned = (row: Row): Row => ({
  ...row,
  point: row.point === "blade_heel" ? "blade_toe" : "blade_heel",
});

const turnedOnce: Blunder = {
  name: "heel and toe of one blade exchanged in one frame",
  unseen: "along the axis a blade is a few pixels long; its middle, which is measured, is the same",
  spoil(film, d) {
    const push = inner(film, d);
    const on = push && (d.chance(0.5) ? push.on : push.off);
    return (
      push &&
      edited(film, "marks", (row) =>
        Number(row.frame) === on && row.side === push.push.foot && isBlade(row) ? turned(row) : row,
      )
    );
  },
};

const turnedAlways: Blunder = {
  name: "heel and toe exchanged in every frame",
  unseen: "along the axis a blade is a few pixels long; its middle, which is measured, is the same",
  spoil: (film) => edited(film, "marks", (row) => (isBlade(row) ? turned(row) : row)),
};

export const BLADE_BLUNDERS: readonly Blunder[] = [
  late("of one blade-off", 5 / 60, (p) => [p.off]),
  late("of one blade-on", 5 / 60, (p) => [p.on]),
  late("of one stride", 5 / 60, (p) => [p.off, p.on]),
  swapped,
  turnedOnce,
  turnedAlways,
];
