import { describe, expect, it } from "vitest";
import { cameraFromHomography, project } from "../../src/ice/camera/camera.ts";
import { fitCamera, LENS_AT } from "../../src/ice/camera/fitCamera.ts";
import { directLinear } from "../../src/ice/camera/homography.ts";
import { distort, undistort } from "../../src/ice/camera/lens.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import { fitThroughLens } from "../../src/ice/points/pointFit.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { PUBLISHED_POINTS } from "../helpers/publishedCamera.ts";
import reference from "../reference/geometry.json" with { type: "json" };

// Every expected number: tests/reference/geometry.py (OpenCV 4.6.0: projectPoints, undistortPointsIter, calibrateCamera).
const PICTURE = { width: 1921, height: 1081 }; // centre (960, 540)
const FRAME = { cx: 960, cy: 540, focalPx: 1800 };
const { throughLens, oneView } = reference;

describe("the lens polynomial against OpenCV", () => {
  const lens = { k1: throughLens.k1, k2: throughLens.k2 };
  const pairs = PUBLISHED_POINTS.map(([x, y, uPx, vPx]) => ({ x, y, uPx, vPx }));
  const camera = cameraFromHomography(directLinear(pairs), 1800, { cx: 960, cy: 540 }, { x: 0, y: 0 });

  it("sees points on and above the ice where projectPoints does", () => {
    for (const [k, [x, y, z]] of throughLens.places.entries()) {
      const [u, v] = project(camera, x!, y!, z!);
      const seen = distort(lens, FRAME, u, v);
      // The camera comes from projections given to nine decimals.
      expect(Math.hypot(seen[0] - throughLens.seen[k]![0]!, seen[1] - throughLens.seen[k]![1]!)).toBeLessThan(
        1e-6,
      );
    }
  });

  it("takes it out as undistortPoints does", () => {
    for (const [k, [u, v]] of throughLens.marks.entries()) {
      const straight = undistort(lens, FRAME, u!, v!);
      const want = throughLens.straight[k]!;
      expect(Math.hypot(straight[0] - want[0]!, straight[1] - want[1]!)).toBeLessThan(1e-8);
    }
  });
});

describe.each([
  ["k1", 1, oneView.k1],
  ["k1 and k2", 2, oneView.k1k2],
] as const)("focal length, pose and %s from one noisy view against calibrateCamera", (_, find, want) => {
  const points = want.seen.map(
    ([xPx, yPx], k): IcePoint => ({
      ...{ label: `P${k + 1}`, xPx: xPx!, yPx: yPx! },
      ...{ x: want.places[k]![0]!, y: want.places[k]![1]! },
    }),
  );
  const { plane, pairs } = fitThroughLens(points, PICTURE, 1, { find });
  // calibrateCamera was told where the principal point is.
  const { camera, lens, gain, chiSquare } = fitCamera(pairs, plane, { cx: 960, cy: 540, sdPx: 1e-4 })!;

  // calibrateCamera holds marks in 32 bits: 1e-4 px of 1920.
  it("agrees on the most likely camera", () => {
    expect(Math.abs(camera.focalPx - want.focal)).toBeLessThan(0.01);
    expect(Math.abs(lens.k1 - want.k1)).toBeLessThan(1e-5);
    expect(Math.abs((lens.k2 ?? 0) - want.k2)).toBeLessThan(1e-4);
    const [x, y, z] = want.centre;
    expect(Math.hypot(camera.x - x!, camera.y - y!, camera.z - z!)).toBeLessThan(1e-4);
    expect(Math.sqrt(chiSquare / points.length)).toBeCloseTo(want.rms, 4);
  });

  it("agrees on how uncertain focal length and k1 are", () => {
    const u = (row: number) => Math.hypot(...gain[row]!);
    expect(camera.focalPx * u(0)).toBeCloseTo(want.sdFocal, 2);
    expect(u(LENS_AT) / want.sdK1).toBeCloseTo(1, 3);
  });

  it("is what fitScale chooses and states", () => {
    const { summary } = fitScale({ kind: "ice-points", points }, PICTURE, 0.5);
    expect(summary.lens).toMatchObject({ from: "ice points" });
    expect(summary.warnings.map((w) => w.text)).toEqual([]);
  });
});
