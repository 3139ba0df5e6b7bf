import { describe, expect, it } from "vitest";
import { areaOf, hiddenArea } from "../../app/places/measure/sheet/areas.ts";
import { type Found, type FoundEvent, stillStanding } from "../../app/places/measure/sheet/found.ts";
import { blindAmong, firstShown, hiddenBy } from "../../app/places/measure/sheet/sheetStrides.ts";
import type { Mark } from "../../src/study/types.ts";
import { mark, marksWith, PICTURE } from "../app/fakeStudy.ts";

const never = () => false;

describe("which suggestions stay hidden until the coach has marked", () => {
  it("is one in eight, the first the fourth, whether strides have two rows or three", () => {
    for (const size of [2, 3]) {
      const hidden: number[] = [];
      for (let taken = 0, checks = 0; taken < 40; taken++) {
        const rows = Array.from({ length: size }, (_, k) => taken + k);
        if (blindAmong(rows, { taken, checks }, never)[0]) {
          checks++;
          hidden.push(taken);
        }
      }
      expect(hidden).toEqual([3, 11, 19, 27, 35]);
    }
  });

  it("is none that was in sight before, and then the next that was not", () => {
    const at = { taken: 3, checks: 0 };
    expect(blindAmong(["a", "b", "c"], at, never)).toEqual([true, false, false]);
    expect(blindAmong(["a", "b", "c"], at, (row) => row !== "c")).toEqual([false, false, true]);
    // Put off, not left out: five rows later it is still owed.
    expect(blindAmong(["x"], { taken: 8, checks: 0 }, never)).toEqual([true]);
  });
});

describe("what is shown about a hidden suggestion", () => {
  const row: FoundEvent = { event: "blade_off", side: "left", frame: 100, sdFrames: 0.5 };
  const suggested = (x: number, y: number) => ({
    ...{ frame: 100, xPx: x, yPx: y, uPx: 1, by: "template" as const, templates: [] },
  });
  const piece = [
    { ...{ point: "blade_heel" as const, side: "left" as const, at: null, isPut: false, notSeen: false } },
    { ...{ point: "blade_toe" as const, side: "left" as const, at: null, isPut: false, notSeen: false } },
  ];
  const areaAbout = (x: number, y: number) =>
    areaOf(
      [
        piece.map((p, k) => ({
          ...p,
          suggested: { ...suggested(x + 12 * k, y + 9 * k), point: p.point, side: p.side },
        })),
      ],
      row,
      { marks: marksWith({}), picture: PICTURE },
      false,
    )!;
  const shares = Array.from({ length: 200 }, (_, n) => {
    const open = areaAbout(600, 400);
    const hidden = hiddenArea(open, PICTURE, hiddenBy(`trial blade_off left ${n}`), "blades");
    expect(hidden.x).toBeLessThanOrEqual(open.x);
    expect(hidden.y).toBeLessThanOrEqual(open.y);
    expect(hidden.x + hidden.width).toBeGreaterThanOrEqual(open.x + open.width);
    expect(hidden.y + hidden.height).toBeGreaterThanOrEqual(open.y + open.height);
    return [(606 - hidden.x) / hidden.width, (404.5 - hidden.y) / hidden.height] as const;
  });

  it("holds all that would be shown, but its middle tells nothing: the suggestion lies anywhere in the inner part", () => {
    for (const k of [0, 1] as const) {
      const own = shares.map((s) => s[k]);
      const mean = own.reduce((a, b) => a + b, 0) / own.length;
      // Even over 0.5 ± 0.1875 of the width (0.6 / 1.6 of it): mean 0.5, SD 0.108; of 200 the mean has 0.0077.
      expect(Math.abs(mean - 0.5)).toBeLessThan(0.03);
      expect(Math.min(...own)).toBeLessThan(0.34);
      expect(Math.max(...own)).toBeGreaterThan(0.66);
      expect(own.filter((s) => Math.abs(s - 0.5) < 0.02).length).toBeLessThan(50);
    }
    // Both directions apart from each other.
    const [xs, ys] = [shares.map((s) => s[0] - 0.5), shares.map((s) => s[1] - 0.5)];
    const product = xs.reduce((sum, x, i) => sum + x * ys[i]!, 0) / xs.length;
    expect(Math.abs(product) / 0.108 ** 2).toBeLessThan(0.25);
  });

  it("stays where it is while one marks, and the frame sought is in the middle no more often than beside it", () => {
    const again = hiddenArea(areaAbout(600, 400), PICTURE, hiddenBy("trial blade_off left 3"), "blades");
    expect(hiddenArea(areaAbout(600, 400), PICTURE, hiddenBy("trial blade_off left 3"), "blades")).toEqual(
      again,
    );
    const firsts = Array.from({ length: 300 }, (_, n) => firstShown(row, hiddenBy(`t ${n}`)));
    for (const first of [97, 98, 99]) {
      const share = firsts.filter((f) => f === first).length / firsts.length;
      expect(share).toBeGreaterThan(0.25);
      expect(share).toBeLessThan(0.42);
    }
    expect(firstShown(row, null)).toBe(98);
  });
});

describe("what was suggested from marks that are no longer as they were", () => {
  const heel = mark({ frame: 40, point: "blade_heel", side: "left" });
  const toe = mark({ frame: 40, point: "blade_toe", side: "left", xPx: 650 });
  const hip = mark({ frame: 40, point: "hip", side: "left", yPx: 300 });
  const before: readonly Mark[] = [heel, toe, hip];
  const at = { side: "left" as const, xPx: 1, yPx: 2, uPx: 1 };
  const found: Found = {
    ...{ model: "m", events: [{ event: "blade_off", side: "left", frame: 80, sdFrames: 1 }], withheld: [] },
    points: [
      { ...at, frame: 80, point: "blade_heel", by: "template", templates: [40] },
      { ...at, frame: 80, point: "blade_toe", by: "template", templates: [40] },
      { ...at, frame: 80, point: "hip", by: "pose", templates: [40] },
    ],
  };
  const left = (now: readonly Mark[]) => stillStanding(found, before, now).points.map((p) => p.point);

  it("is not shown until it has been looked for again", () => {
    expect(left([heel, hip])).toEqual(["hip"]);
    expect(left([{ ...heel, xPx: heel.xPx + 0.4 }, toe, hip])).toEqual(["hip"]);
    expect(left([heel, toe])).toEqual(["blade_heel", "blade_toe"]);
  });

  it("stays where more was confirmed, or a mark only says something else of itself", () => {
    expect(stillStanding(found, before, [...before, mark({ frame: 80, point: "hip" })])).toBe(found);
    expect(stillStanding(found, before, [heel, { ...toe, uPx: 2 }, hip])).toBe(found);
  });
});
