import { describe, expect, it } from "vitest";
import { fewestCauses } from "../../src/uncertainty/fewestCauses.ts";

describe("values by as few causes as will do", () => {
  it("are as worked out by hand", () => {
    // (3, 4) is 5 along one direction; (4, 3) is (12 + 12)/5 along it, and √(25 − 24²/25) = 7/5 is left.
    const [first, second] = fewestCauses([
      [3, 4],
      [4, 3],
    ]);
    expect(first).toEqual([5]);
    expect(second![0]).toBeCloseTo(24 / 5, 14);
    expect(second![1]).toBeCloseTo(7 / 5, 14);
  });

  it("take no new cause for what the ones before make up, also where it is nothing", () => {
    const third = fewestCauses([
      [1, 2, 0, 1],
      [0, 1, 1, 0],
      [2, 7, 3, 2],
      [0, 0, 0, 0],
    ]);
    expect(third.map((parts) => parts.length)).toEqual([1, 2, 2, 2]);
    expect(third[3]).toEqual([0, 0]);
    // The third is twice the first and three times the second.
    expect(third[2]![0]).toBeCloseTo(2 * third[0]![0]! + 3 * third[1]![0]!, 12);
    expect(third[2]![1]).toBeCloseTo(3 * third[1]![1]!, 12);
  });
});
