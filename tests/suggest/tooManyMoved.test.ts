import { describe, expect, it } from "vitest";
import type { Mark } from "../../src/study/types.ts";
import { tooManyMoved } from "../../src/suggest/tooManyMoved.ts";
import { mark } from "../app/fakeStudy.ts";

const of = (from: Mark["from"], n: number) => Array.from({ length: n }, () => mark(from ? { from } : {}));

/** The rule is design's own (docs/suggested-marks.md): more than 40 of 100 of the last twenty points looked at. */
describe("suggesting stops", () => {
  it("when more than 8 of the last 20 points were moved, and says so", () => {
    expect(tooManyMoved([...of("accepted", 12), ...of("moved", 8)])).toBeNull();
    expect(tooManyMoved([...of("accepted", 11), ...of("moved", 9)])).toMatch(/moved 9 of the last 20 points/);
  });

  it("not for what was moved long before, nor for what was put by hand", () => {
    expect(tooManyMoved([...of("moved", 20), ...of("accepted", 20)])).toBeNull();
    expect(tooManyMoved([...of("accepted", 11), ...of("moved", 9), ...of(undefined, 40)])).not.toBeNull();
    expect(tooManyMoved(of("moved", 19))).toBeNull();
  });
});
