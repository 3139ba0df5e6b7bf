import { describe, expect, it } from "vitest";
import { doubtfulFrames } from "../../electron/clip/store/doubtful.ts";
import { firstGap, firstThere, joined, rangesThere } from "../../electron/clip/store/ranges.ts";

const frames = (count: number, group: number) =>
  Array.from({ length: count }, (_, n) => ({ key: n % group === 0, length: 10 }));
const problem = (nearFrame: number | null) => ({ nearFrame, text: "x" });

describe("frames that may be put together from others", () => {
  it("are none while nothing is wrong, or only the file's header was", () => {
    expect(doubtfulFrames([], frames(100, 10), 100)).toEqual([]);
    expect(doubtfulFrames([problem(null)], frames(100, 10), 100)).toEqual([]);
  });

  it("begin with the first that had not come out, and end at a key frame that surely came later", () => {
    const [range, ...more] = doubtfulFrames([problem(103)], frames(1000, 100), 1000);
    expect(more).toEqual([]);
    expect(range?.[0]).toBe(103);
    expect(range?.[1]).toBe(200);
    // A key frame may itself have been in the decoder already: 16 pictures reordered at least (H.264 A.3.1).
    const [short] = doubtfulFrames([problem(98)], frames(1000, 100), 1000);
    expect(short).toEqual([98, 200]);
  });

  it("reach to the end where no key frame follows", () => {
    expect(doubtfulFrames([problem(50)], frames(400, 1000), 400)).toEqual([[50, 400]]);
    expect(doubtfulFrames([problem(400)], frames(400, 1000), 400)).toEqual([]);
  });

  it("are one range where they overlap, and include frames without a picture", () => {
    const list = frames(1000, 100).map((f, n) => (n === 700 ? { ...f, length: 0 } : f));
    expect(doubtfulFrames([problem(110), problem(120)], list, 1000)).toEqual([
      [110, 200],
      [700, 701],
    ]);
  });
});

describe("ranges of frames", () => {
  const sparse = [1, 1, undefined, 1, undefined, undefined, 1, 1];
  it("are found between gaps", () => {
    expect(firstGap(sparse, 0)).toBe(2);
    expect(firstGap(sparse, 6)).toBe(8);
    expect(firstThere(sparse, 4)).toBe(6);
    expect(firstThere(sparse, 8)).toBeNull();
    expect(rangesThere(sparse, 0)).toEqual([
      [0, 2],
      [3, 4],
      [6, 8],
    ]);
    expect(rangesThere(sparse, 7)).toEqual([[7, 8]]);
  });

  it("are joined where they touch or overlap, and left out where they are empty", () => {
    const parts = [
      [5, 9],
      [0, 2],
      [2, 3],
      [4, 4],
      [6, 7],
    ] as const;
    expect(joined(parts)).toEqual([
      [0, 3],
      [5, 9],
    ]);
  });
});
