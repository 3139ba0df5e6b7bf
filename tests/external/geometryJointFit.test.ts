import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { FramePoints } from "../../src/study/types.ts";
import { covariance, exactly, Sources } from "../../src/uncertainty/uncertain.ts";
import reference from "../reference/geometry.json" with { type: "json" };

// Every expected number: tests/reference/geometry.py (SciPy 1.10.1, least_squares over all parameters at once, principal point included, (J'J)^-1).
describe.each([
  ["pans", reference.jointFit.pans],
  ["zooms as well", reference.jointFit.zooms],
  ["pans, with a lens that bends lines", reference.jointFit.bent],
] as const)("a camera that %s, against SciPy", (_, want) => {
  const frames = want.frames.map(
    ({ frame, places, seen }): FramePoints => ({
      frame,
      points: seen.map(([xPx, yPx], k) => ({
        ...{ label: `P${k + 1}`, xPx: xPx!, yPx: yPx! },
        ...{ x: places[k]![0]!, y: places[k]![1]! },
      })),
    }),
  );
  const scale = fitScale({ kind: "ice-points-by-frame", frames }, { width: 1920, height: 1080 }, 1);
  const { camera, lens, rmsPx } = scale.summary;

  it("has the same tripod place, focal length, lens and misfit", () => {
    const [x, y, z] = want.centre;
    expect(Math.hypot(camera!.x - x!, camera!.y - y!, camera!.height - z!)).toBeLessThan(1e-5);
    const focals = want.focals.slice().sort((a, b) => a - b);
    expect(camera!.focalPx).toBeCloseTo(focals[focals.length >> 1]!, 2);
    const count = frames.reduce((sum, f) => sum + f.points.length, 0);
    // The least sum is of points and principal point together; the points alone are not at their own, so fewer digits agree.
    expect(rmsPx! ** 2 * count).toBeCloseTo(want.sumOfSquares, 4);
    if (want.k1 === null) expect(lens).toMatchObject({ value: null });
    else {
      if (!lens || !("from" in lens)) throw new Error("no lens was found");
      expect(lens.k1).toBeCloseTo(want.k1, 5);
      expect(lens.u95K1! / 1.959963984540054).toBeCloseTo(want.sdK1!, 5);
    }
    if (want.focals.length === 1) expect(camera!.u95FocalPx / 1.959963984540054).toBeCloseTo(want.sdFocal, 3);
  });

  it("puts marks of two frames on the ice, with the same covariance within and between frames", () => {
    const ground = scale.ground(new Sources());
    const first = ground.place({ u: exactly(700), v: exactly(640) }, frames[1]!.frame)!;
    const second = ground.place({ u: exactly(1200), v: exactly(500) }, frames[4]!.frame)!;
    const got = [first.x, first.y, second.x, second.y];
    for (const [r, a] of got.entries()) {
      expect(a.value).toBeCloseTo(want.ice[r]!, 5);
      for (const [c, b] of got.entries()) {
        const unit = Math.sqrt(want.covariance[r]![r]! * want.covariance[c]![c]!);
        expect(covariance(a, b) / unit).toBeCloseTo(want.covariance[r]![c]! / unit, 4);
      }
    }
  });
});
