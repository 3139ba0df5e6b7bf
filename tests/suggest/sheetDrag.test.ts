import { describe, expect, it } from "vitest";
import { pressedOn, putBy } from "../../app/places/measure/sheet/dragging.ts";
import type { At, Piece, RowPoint } from "../../app/places/measure/sheet/rowPoints.ts";

// What a drag is to do is written here by hand: the strip says it to whoever looks at the sheet.

const point = (name: "blade_heel" | "blade_toe", at: At | null): RowPoint => ({
  ...{ point: name, side: "left", at, suggested: null, isPut: false, notSeen: false },
});
const [heel, toe] = [
  { xPx: 100, yPx: 50 },
  { xPx: 112, yPx: 56 },
];
const blade: Piece = [point("blade_heel", heel), point("blade_toe", toe)];
const WITHIN = { within: 5, alone: false };

function dragged(pieces: readonly Piece[], from: At, to: At, how = WITHIN): (At | undefined)[] {
  const drag = pressedOn(pieces, from, how);
  const put = drag ? putBy(drag, pieces, to) : [];
  return ["blade_heel", "blade_toe"].map((name) => put.find((p) => p.point.point === name)?.at);
}
const by = (at: At, dx: number, dy: number): At => ({ xPx: at.xPx + dx, yPx: at.yPx + dy });

describe("a drag on the magnified blade", () => {
  it("moves it whole by an end or its middle, one end alone with Shift", () => {
    for (const held of [heel, toe, { xPx: 106, yPx: 53 }])
      expect(dragged([blade], held, by(held, 3, -2))).toEqual([by(heel, 3, -2), by(toe, 3, -2)]);
    expect(dragged([blade], toe, by(toe, 3, -2), { ...WITHIN, alone: true })).toEqual([heel, by(toe, 3, -2)]);
  });

  it("from one end on to the other draws it anew between press and release, from either end", () => {
    const [from, to] = [by(heel, 2, 3), by(toe, -2, 3)];
    expect(dragged([blade], from, to)).toEqual([from, to]);
    expect(dragged([blade], to, from)).toEqual([from, to]);
    // An end seen nearer to the suggested middle than to either end.
    const inner = by(heel, 4, 1);
    expect(dragged([blade], inner, by(toe, 4, 1))).toEqual([inner, by(toe, 4, 1)]);
    // With Shift an end goes as far as it is dragged.
    expect(dragged([blade], heel, by(toe, 1, 0), { ...WITHIN, alone: true })[1]).toEqual(toe);
  });

  it("aside of it draws it anew too, and a press alone takes nothing away", () => {
    const aside = by(heel, -9, 4);
    expect(dragged([blade], aside, by(aside, 12, 6))).toEqual([aside, by(aside, 12, 6)]);
    expect(dragged([blade], aside, by(aside, 1, 0))).toEqual([undefined, undefined]);
  });

  it("puts one that is not suggested from heel to toe, and nothing where none is asked for", () => {
    const open: Piece = [point("blade_heel", null), point("blade_toe", null)];
    expect(dragged([open], heel, toe)).toEqual([heel, toe]);
    expect(pressedOn([], heel, WITHIN)).toBeNull();
    const unseen = blade.map((p) => ({ ...p, notSeen: true }));
    expect(pressedOn([unseen], heel, WITHIN)).toBeNull();
  });
});
