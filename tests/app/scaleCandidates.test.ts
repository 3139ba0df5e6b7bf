import { describe, expect, it } from "vitest";
import { candidates, rinkCandidates } from "../../app/places/measure/scale/scaleCandidates.ts";
import { bareStudy, icePoint, marksWith } from "./fakeStudy.ts";

describe("places marked in one trial", () => {
  it("are offered again for the other trials of the study", () => {
    const points = [icePoint("A", 1, 1), icePoint("B", 2, 1)];
    const marks = { t1: marksWith({ iceReference: { kind: "ice-points", points } }) };
    const list = candidates({ ...bareStudy(), marks }, "t2", 0, [{ label: "B", x: 9, y: 9 }]);
    expect(list).toEqual([
      { label: "B", x: 9, y: 9, marked: false },
      { label: "A", x: 1, y: 1, marked: false },
    ]);
  });
});

describe("rink markings in the lane", () => {
  it("are turned and shifted by where the lane lies on the rink", () => {
    const along = { rink: "iihf-60x30", startX: -18, startY: 0, headingDeg: 0 };
    // Centre spot is the rink's origin: 18 m ahead of a start at x = -18 (docs/references.md 1.4).
    expect(rinkCandidates(along).find((c) => c.label === "centre spot")).toMatchObject({ x: 18, y: 0 });
    const back = { rink: "iihf-60x30", startX: 10, startY: 2, headingDeg: 180 };
    // Travelling towards -x, the skater's left is -y: the origin is 10 m ahead and 2 m to the left of y = 2.
    expect(rinkCandidates(back).find((c) => c.label === "centre spot")).toMatchObject({ x: 10, y: 2 });
  });
});
