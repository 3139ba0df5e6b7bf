import { type Blunder, edited, type Row } from "./blunder.ts";

/** Mistakes that make all of the ice too long or too short. */

type Film = Parameters<Blunder["spoil"]>[0];

function stretched(film: Film, along: number, across: number): Film {
  const by = (row: Row, column: string, factor: number) => String(factor * Number(row[column]));
  return edited(film, "ice", (row) => ({
    ...row,
    ice_x_m: by(row, "ice_x_m", along),
    ice_y_m: by(row, "ice_y_m", across),
  }));
}

const RUNNER =
  "the runner is the only length that tells, and one trial's marks give it to 5 to 10 %; all trials of a study together tell more";

export const SCALE_BLUNDERS: readonly Blunder[] = [
  {
    name: "no mistake, the runner's length typed",
    unseen: "nothing to see",
    harmless: true,
    spoil: (film) => ({ ...film, body: { ...film.body, blade: 0.28 } }),
  },
  {
    name: "ice points in yards, the runner's length typed",
    unseen: RUNNER,
    spoil: (film) => stretched({ ...film, body: { ...film.body, blade: 0.28 } }, 1 / 0.9144, 1 / 0.9144),
  },
  {
    name: "ice points 5 % long, the runner's length typed",
    unseen: `${RUNNER}; 5 % of it is 14 mm`,
    spoil: (film) => stretched({ ...film, body: { ...film.body, blade: 0.28 } }, 1.05, 1.05),
  },
];
