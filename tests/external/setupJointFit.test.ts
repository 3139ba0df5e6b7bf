import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { SetupClips } from "../../src/ice/setup/setupClips.ts";
import { covariance, exactly, Sources } from "../../src/uncertainty/uncertain.ts";
import want from "../reference/setup.json" with { type: "json" };

// Every expected number: tests/reference/setup.py (SciPy 1.10.1, least_squares over all parameters at once, (J'J)^-1).
const K95 = 1.959963984540054;
const setup: SetupClips = {
  id: "s1",
  name: "from the start",
  clips: want.clips.map(({ trial, points, like }) => ({
    trial,
    points: points.map((p) => ({ ...p, u: want.tape })),
    ...(like && { like: { ...like, by: "background" as const } }),
  })),
};
const PICTURE = { width: 1920, height: 1080 };
const scaleOf = (trial: string) => fitScale({ kind: "set-up", setup, trial }, PICTURE, 1);

describe("clips of one camera fitted as one, against SciPy", () => {
  it("has the same place, focal length and lens in every clip", () => {
    for (const { trial } of setup.clips) {
      const { camera, lens } = scaleOf(trial).summary;
      const [x, y, z] = want.centre;
      expect(Math.hypot(camera!.x - x!, camera!.y - y!, camera!.height - z!)).toBeLessThan(1e-4);
      expect(camera!.focalPx).toBeCloseTo(want.focal, 1);
      expect(camera!.u95FocalPx / K95 / want.sdFocal).toBeCloseTo(1, 4);
      // Its k1 is known to 0.14 only, hardly better than of any lens; what that leaves open is in the covariances below.
      expect(want.sdK1).toBeGreaterThan(0.1);
      expect(lens).toMatchObject({ value: null, why: expect.stringContaining("ordinary") });
    }
  });

  it("puts marks of four clips on the ice, with the same covariance within and between clips", () => {
    const sources = new Sources();
    const got = want.marks.flatMap(({ trial, xPx, yPx }, k) => {
      const place = scaleOf(trial)
        .ground(sources)
        .place({ u: exactly(xPx), v: exactly(yPx) }, k)!;
      return [place.x, place.y];
    });
    for (const [r, a] of got.entries()) {
      expect(a.value).toBeCloseTo(want.ice[r]!, 4);
      expect(a.u / Math.sqrt(want.covariance[r]![r]!)).toBeCloseTo(1, 3);
    }
    // Two clips measured each by itself do not know of one another; within one clip they do.
    const one = Math.sqrt(want.covariance[0]![0]! * want.covariance[1]![1]!);
    expect(covariance(got[0]!, got[1]!) / one).toBeCloseTo(want.covariance[0]![1]! / one, 3);
  });

  it("says where the first clip's background is seen in the third, and how well", () => {
    const { clips, sharedPoints } = scaleOf("c").summary.setup!;
    const { dxPx, dyPx, turnDeg, by } = clips[2]!;
    expect([sharedPoints, by]).toEqual([13, "background"]);
    for (const [k, found] of [dxPx, dyPx, turnDeg].entries()) {
      expect(found.value).toBeCloseTo(want.turned[k]!, 3);
      expect(found.u95 / K95 / want.sdTurned[k]!).toBeCloseTo(1, 2);
    }
  });
});
