import { describe, expect, it } from "vitest";
import { freeCorner, underMagnifier } from "../../app/picture/topCorner.ts";

const STAGES = [
  { width: 1000, height: 600 },
  // A window of 1024 px.
  { width: 574, height: 340 },
];

describe("the corner of the magnifier", () => {
  it("is never where the hand is, wherever it goes", () => {
    for (const stage of STAGES) {
      for (const from of ["left", "right"] as const) {
        for (let x = 0; x <= stage.width; x += 7) {
          for (let y = 0; y <= stage.height; y += 7) {
            const corner = freeCorner(from, stage, { x, y });
            expect(underMagnifier(corner, stage, { x, y })).toBe(false);
          }
        }
      }
    }
  });

  it("stays where it is while the hand is elsewhere, so that it never goes to and fro", () => {
    for (const stage of STAGES) {
      for (const corner of ["left", "right"] as const) {
        expect(freeCorner(corner, stage, { x: stage.width / 2, y: stage.height / 2 })).toBe(corner);
        const away = freeCorner(corner, stage, { x: 5, y: 5 });
        expect(freeCorner(away, stage, { x: 5, y: 5 })).toBe(away);
      }
    }
  });
});
