import type { Dice } from "../random.ts";
import { type Blunder, edited, moved, oneOf, rowsOf } from "./blunder.ts";

/** Mistakes with the points on the ice. */

type Film = Parameters<Blunder["spoil"]>[0];

/** Only the first and last columns of points, and as many between as make `count`: 4, 6 or 8. */
function keepPoints(film: Film, count: number): Film {
  const between = { 4: [], 5: [2], 6: [2, 5], 7: [2, 3, 4], 8: [2, 3, 4, 5] }[count]!;
  const keep = new Set([0, 1, 6, 7, ...between]);
  return edited(film, "ice", (row, k) => (keep.has(k) ? row : null));
}

/** One of the points taped, or written down, `metres` off across the lane. */
function oneAside(count: number, metres: number, unseen: string): Blunder {
  return {
    name: `one of ${count} ice points ${100 * metres} cm off across the lane`,
    unseen,
    spoil(film, d) {
      const few = keepPoints(film, count);
      const which = pick(d, count);
      const by = d.chance(0.5) ? metres : -metres;
      return edited(few, "ice", (row, k) => (k === which ? moved(row, "ice_y_m", by) : row));
    },
  };
}

const pick = (d: Dice, count: number) => oneOf(d, [...Array(count).keys()]);

function mirrored(count: number): Blunder {
  return {
    name: `left and right of the lane exchanged at all ${count} ice points`,
    unseen: "none should",
    spoil: (film) =>
      edited(keepPoints(film, count), "ice", (row) => ({ ...row, ice_y_m: String(-Number(row.ice_y_m)) })),
  };
}

function exchanged(count: number): Blunder {
  return {
    name: `two of ${count} ice points exchanged`,
    unseen: "none should",
    spoil(film, d) {
      const few = keepPoints(film, count);
      const a = pick(d, count);
      const b = (a + 1 + pick(d, count - 1)) % count;
      const rows = rowsOf(few.tables.ice);
      return edited(few, "ice", (row, k) => {
        const from = k === a ? rows[b]! : k === b ? rows[a]! : row;
        return { ...row, ice_x_m: from.ice_x_m!, ice_y_m: from.ice_y_m! };
      });
    },
  };
}

export const ICE_POINT_BLUNDERS: readonly Blunder[] = [
  mirrored(4),
  mirrored(8),
  exchanged(4),
  exchanged(6),
  exchanged(8),
  oneAside(
    4,
    0.3,
    "four points leave one degree of freedom: what keeps pixels square and looks like a camera passes",
  ),
  oneAside(5, 0.3, "none should"),
  oneAside(6, 0.3, "none should"),
  oneAside(8, 0.3, "none should"),
  oneAside(8, 0.05, "5 cm at one of eight points may be as small as the marks' own noise"),
];
