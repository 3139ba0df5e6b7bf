import { describe, expect, it } from "vitest";
import { freerCorner, opposite, underMagnifier } from "../../app/picture/topCorner.ts";

const STAGE = { width: 1000, height: 600 };
const CARD = { width: 340, height: 200 };
const LEFT = { x: 100, y: 100 };
const RIGHT = { x: 900, y: 100 };
const LOW = { x: 100, y: 500 };

describe("the corner of the card", () => {
  it("is left where a point lies under it, and only then", () => {
    expect(freerCorner("left", CARD, STAGE, [LEFT])).toBe("right");
    expect(freerCorner("right", CARD, STAGE, [RIGHT])).toBe("left");
    expect(freerCorner("left", CARD, STAGE, [LOW, RIGHT])).toBe("left");
    expect(freerCorner("right", CARD, STAGE, [])).toBe("right");
  });

  it("is kept where the other is no better, so that the card never goes to and fro", () => {
    for (const corner of ["left", "right"] as const) {
      expect(freerCorner(corner, CARD, STAGE, [LEFT, RIGHT])).toBe(corner);
      for (const spots of [[LEFT], [RIGHT, RIGHT, LEFT], [LOW]]) {
        const once = freerCorner(corner, CARD, STAGE, spots);
        expect(freerCorner(once, CARD, STAGE, spots)).toBe(once);
      }
    }
  });

  it("is never the magnifier's: no spot lies under both, also in a window of 1024 px", () => {
    // measure.css: the card is 304 px wide there, and the picture what 320 px of numbers leave of the window.
    const narrow = { width: 574, height: 340 };
    for (const card of ["left", "right"] as const) {
      for (let x = 0; x < narrow.width; x++) {
        const inCard = card === "left" ? x < 14 + 304 : x > narrow.width - 14 - 304;
        expect(inCard && underMagnifier(opposite(card), narrow, { x, y: 50 })).toBe(false);
      }
    }
  });
});
