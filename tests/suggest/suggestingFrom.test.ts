import { describe, expect, it } from "vitest";
import { BENCH_CAMERA, facingCamera } from "../../sample-clips/make/world.ts";
import { BESIDE_FROM, suggestingFrom } from "../../src/ice/placement/suggestingFrom.ts";
import type { CameraPlan } from "../../src/study/types.ts";
import { BESIDE } from "../../src/suggest/suggestedBlades.ts";

const plan = ({ place, aim, hfovDeg, width, height }: typeof BENCH_CAMERA): CameraPlan => ({
  ...{ x: place[0], y: place[1], height: place[2], aimX: aim[0], aimY: aim[1] },
  ...{ hfovDeg, widthPx: width, heightPx: height, fps: 60 },
});
const said = (p: CameraPlan) => suggestingFrom(p, [3, 29]).join(" ");

/** What comes of suggesting from these places is in docs/suggested-marks.md and tests/media/suggestedMarks.test.ts. */
describe("Plan says whether marks can be suggested from a camera's place", () => {
  it("facing the lane, as the demo is filmed: yes", () => {
    expect(said(plan(facingCamera(0)))).toMatch(/whole zone|from about \d+ to 2\d m/);
  });

  it("from the bench: no blades, by the limit the suggester itself has", () => {
    expect(BESIDE_FROM).toBe(BESIDE);
    expect(said(plan(BENCH_CAMERA))).toContain("no blades are suggested");
  });

  it("from afar with a wide lens: smaller than was ever tried", () => {
    expect(said({ ...plan(facingCamera(0)), hfovDeg: 60 })).toContain("less than 150 px tall");
  });

  it("nothing where the skater is not in the picture at all", () => {
    expect(suggestingFrom({ ...plan(facingCamera(0)), aimX: 80 }, [3, 29])).toEqual([]);
  });
});
