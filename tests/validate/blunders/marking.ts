import { type Blunder, edited, moved, oneOf, type Row, rowsOf } from "./blunder.ts";

/** Mistakes of the hand and the eye: where points were pressed, which side, which frame, how fast the clip plays. */

const otherSide = (row: Row): Row => ({ ...row, side: row.side === "left" ? "right" : "left" });

const oneFar = (px: number): Blunder => ({
  name: `one end of a blade pressed ${px} px off`,
  unseen: `the middle of the blade is half of that off, which a single frame can't show where ${px} px are less than a blade`,
  spoil(film, d) {
    const ends = rowsOf(film.tables.marks).flatMap((row, k) => (row.point!.startsWith("blade_") ? [k] : []));
    if (ends.length === 0) return null;
    const which = oneOf(d, ends);
    const turn = d.even(0, 2 * Math.PI);
    return edited(film, "marks", (row, k) =>
      k === which ? moved(moved(row, "x_px", px * Math.cos(turn)), "y_px", px * Math.sin(turn)) : row,
    );
  },
});

const shakyHips: Blunder = {
  name: "hips under a wide coat, pressed to 10 px where 5 px are taken",
  unseen: "each hip is pressed once: only pressing some again shows how well",
  conditions: { hipPx: 10 },
  spoil: (film) => film,
};

const shaky: Blunder = {
  name: "every point pressed to 2 px where 1 px is stated",
  unseen: "each point is pressed once: only pressing some again shows how well",
  spoil: (film, d) =>
    edited(film, "marks", (row) => moved(moved(row, "x_px", d.normal(1.7)), "y_px", d.normal(1.7))),
};

const sidesExchanged: Blunder = {
  name: "left and right exchanged all through",
  unseen: "from the side, where no width can be told, neither can its sign; hips and arms alike look alike",
  spoil: (film) => edited(edited(film, "marks", otherSide), "events", otherSide),
};

const contactsExchanged: Blunder = {
  name: "blade-offs and blade-ons exchanged all through",
  unseen:
    "at 30 frames a second both blades are on the ice together for about a frame, and from far off the axis no width tells",
  spoil: (film) =>
    edited(film, "events", (row) => ({
      ...row,
      event: row.event === "blade_off" ? "blade_on" : row.event === "blade_on" ? "blade_off" : row.event!,
    })),
};

const slowed: Blunder = {
  name: "a clip that plays eight times slower taken as it is",
  unseen: "none should",
  spoil: (film) => edited(film, "marks", (row) => ({ ...row, time_s: (8 * Number(row.time_s)).toFixed(6) })),
};

export const MARKING_BLUNDERS: readonly Blunder[] = [
  oneFar(40),
  oneFar(12),
  shakyHips,
  shaky,
  sidesExchanged,
  contactsExchanged,
  slowed,
];
