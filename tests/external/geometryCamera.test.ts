import { describe, expect, it } from "vitest";
import { type Camera, cameraFromHomography, project, ray } from "../../src/ice/camera/camera.ts";
import { fitPlane } from "../../src/ice/camera/fitPlane.ts";
import { directLinear } from "../../src/ice/camera/homography.ts";
import { distort, undistort } from "../../src/ice/camera/lens.ts";
import { likeliestPoint } from "../../src/ice/camera/likeliestPoint.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import { foreshortening, jointOnRay, sight } from "../../src/kinematics/arms/armPose.ts";
import { deriveOne, Sources } from "../../src/uncertainty/uncertain.ts";
import { PUBLISHED_POINTS } from "../helpers/publishedCamera.ts";

// Every expected number: docs/references.md 4.2 [computed: OpenCV/numpy] unless said otherwise.
const pairs = (noisy: boolean) =>
  PUBLISHED_POINTS.map(([x, y, u, v, nu, nv]) => ({ x, y, uPx: noisy ? nu : u, vPx: noisy ? nv : v }));
const icePoints = (noisy: boolean) =>
  pairs(noisy).map((p, k) => ({ label: `P${k + 1}`, xPx: p.uPx, yPx: p.vPx, x: p.x, y: p.y }));
const PICTURE = { width: 1921, height: 1081 };
const camera = cameraFromHomography(directLinear(pairs(false)), 1800, { cx: 960, cy: 540 }, { x: 0, y: 0 });

describe("camera of the published homography", () => {
  it("stands at (-2, -20, 6) and is turned as published", () => {
    expect([camera.x, camera.y, camera.z].map((c) => Number(c.toFixed(8)))).toEqual([-2, -20, 6]);
    const rows = [
      0.990830168044, -0.135113204733, 0, -0.035246922974, -0.258477435142, -0.965374057008, 0.130434782609,
      0.95652173913, -0.260869565217,
    ];
    rows.forEach((want, k) => {
      expect(camera.rotation[k]).toBeCloseTo(want, 9);
    });
  });

  it("is nearly there from noisy points, whose published pose is (-2.0027, -20.0032, 6.0096)", () => {
    const h = fitPlane(pairs(true).map((p) => ({ ...p, markSdPx: 1, placeSd: 0 })))!.homography;
    // The published pose belongs to the first of the two focal lengths.
    const pose = cameraFromHomography(h, 1798.977586, { cx: 960, cy: 540 }, { x: 0, y: 0 });
    expect(pose.x).toBeCloseTo(-2.0027, 3);
    expect(pose.y).toBeCloseTo(-20.0032, 3);
    expect(pose.z).toBeCloseTo(6.0096, 3);
  });

  it("is found by fitScale, from exact and from noisy points", () => {
    const exact = fitScale({ kind: "ice-points", points: icePoints(false) }, PICTURE, 1).summary.camera!;
    expect(exact.focalPx).toBeCloseTo(1800, 5);
    expect(exact.height).toBeCloseTo(6, 7);
    const noisy = fitScale({ kind: "ice-points", points: icePoints(true) }, PICTURE, 1).summary.camera!;
    // 0.3 px of noise against a stated 1 px: well inside the stated uncertainty
    expect(Math.abs(noisy.focalPx - 1800)).toBeLessThan(noisy.u95FocalPx);
    expect(Math.hypot(noisy.x + 2, noisy.y + 20, noisy.height - 6)).toBeLessThan(0.05);
  });

  it("has the published vertical vanishing point and horizon", () => {
    const below = project(camera, camera.x, camera.y, camera.z - 10);
    expect(below[0]).toBeCloseTo(960, 5);
    expect(below[1]).toBeCloseTo(7201.080993352, 4);
    const [rx, ry] = ray(camera, 960, 540);
    const far = project(camera, camera.x + 1e9 * rx, camera.y + 1e9 * ry, camera.z);
    expect(far[1]).toBeCloseTo(53.59246296, 6);
  });

  it("sees points above the ice where published, and gives their heights back", () => {
    const posts = [
      [0.5, 1, 0.95, 930.155066421, 486.903592354],
      [3, -2, 1.5, 1198.391517392, 494.191070998],
    ] as const;
    for (const [x, y, z, u, v] of posts) {
      const [gotU, gotV] = project(camera, x, y, z);
      expect(gotU).toBeCloseTo(u, 6);
      expect(gotV).toBeCloseTo(v, 6);
      // Along the view the place is known well, the height hardly: the ray decides the height.
      const direction = [0, 1] as const;
      const known = { direction, along: y, alongSd: 1e-6, height: 0.5, heightSd: 1 };
      const [, , height] = likeliestPoint(camera, u, v, known);
      expect(height).toBeCloseTo(z, 6);
    }
  });

  it("has the published heights by vanishing point and horizon, and their ratio", () => {
    // Criminisi, Reid and Zisserman (2000): alpha Z = -|b x t| / ((l . b) |v x t|), l the horizon, v the vertical vanishing point.
    const vertical = [960, 7201.080993352, 1] as const;
    const horizon = [0, 1, -53.59246296] as const;
    const alphaZ = (x: number, y: number, z: number) => {
      const [bu, bv] = project(camera, x, y, 0);
      const [tu, tv] = project(camera, x, y, z);
      const [b, t] = [[bu, bv, 1] as const, [tu, tv, 1] as const];
      const lb = horizon[0] * b[0] + horizon[1] * b[1] + horizon[2] * b[2];
      return Math.hypot(...crossed(b, t)) / (lb * Math.hypot(...crossed(vertical, t)));
    };
    const [low, high] = [alphaZ(0.5, 1, 0.95), alphaZ(3, -2, 1.5)];
    expect(low / 2.215230324e-5).toBeCloseTo(1, 6);
    expect(high / 3.497732091e-5).toBeCloseTo(1, 6);
    expect((0.95 * high) / low).toBeCloseTo(1.5, 6);
  });

  it("shows what the ice homography does to a hip: 0.95 m up lands 4 m away", () => {
    const scale = fitScale({ kind: "ice-points", points: icePoints(false) }, PICTURE, 1);
    const onIce = scale.toIce({ xPx: 930.155066421, yPx: 486.903592354 })!;
    expect(onIce.x).toBeCloseTo(0.97029703, 6);
    expect(onIce.y).toBeCloseTo(4.95049505, 6);
    // error = (P - C) h / (Cz - h)
    expect(onIce.x - 0.5).toBeCloseTo(0.47029703, 6);
    expect(onIce.y - 1).toBeCloseTo(3.95049505, 6);
  });

  it("shows ice and air where the camera does", () => {
    const scale = fitScale({ kind: "ice-points", points: icePoints(false) }, PICTURE, 1);
    expect(scale.toPicture(0, 0)!.xPx).toBeCloseTo(898.105818247, 6);
    expect(scale.toPicture(0.5, 1, 0.95)!.yPx).toBeCloseTo(486.903592354, 5);
    expect(scale.toPicture(-3, -30)).toBeNull(); // behind the camera
    expect(scale.toIce({ xPx: 960, yPx: 50 })).toBeNull(); // above the horizon
  });
});

type Triple = readonly [number, number, number];

function crossed(a: Triple, b: Triple): Triple {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

describe("lens distortion", () => {
  const frame = { cx: 960, cy: 540, focalPx: 1800 };

  it("follows the radial polynomial", () => {
    // x = 0.5: 1 - 0.12 × 0.25 + 0.03 × 0.0625 = 0.971 875, by hand
    const [u] = distort({ k1: -0.12, k2: 0.03 }, frame, 960 + 900, 540);
    expect(u).toBeCloseTo(960 + 900 * 0.971875, 9);
  });

  it("is undone to a billionth of a pixel over the picture", () => {
    const lens = { k1: -0.12, k2: 0.03 };
    for (const [, , u, v] of PUBLISHED_POINTS) {
      const [bu, bv] = undistort(lens, frame, ...distort(lens, frame, u, v));
      expect(Math.hypot(bu - u, bv - v)).toBeLessThan(1e-9);
    }
  });

  it("is undone up to where the lens folds", () => {
    // k1 = -0.3: r - 0.3 r³ turns at r = 1 / √0.9 = 1.0541, seen at 0.7027. At 0.70 the slope is down to a twentieth.
    const strong = { k1: -0.3 };
    for (const seen of [0.3, 0.6, 0.69, 0.7]) {
      const [u] = undistort(strong, { cx: 0, cy: 0, focalPx: 1 }, seen, 0);
      expect(u - 0.3 * u ** 3).toBeCloseTo(seen, 13);
      expect(u).toBeLessThan(1.0541);
    }
  });

  it("is taken out of ice points by fitScale, focal length included", () => {
    const lens = { k1: -0.12, k2: 0.03 };
    const points = icePoints(false).map((p) => {
      const [xPx, yPx] = distort(lens, frame, p.xPx, p.yPx);
      return { ...p, xPx, yPx };
    });
    const scale = fitScale({ kind: "ice-points", points, lens }, PICTURE, 1);
    expect(scale.summary.camera!.focalPx).toBeCloseTo(1800, 3);
    expect(scale.summary.rmsPx).toBeLessThan(1e-5);
    const seen = scale.toPicture(3, -2, 1.5)!;
    const [u, v] = distort(lens, frame, 1198.391517392, 494.191070998);
    expect(seen.xPx).toBeCloseTo(u, 3);
    expect(seen.yPx).toBeCloseTo(v, 3);
    const without = fitScale({ kind: "ice-points", points }, PICTURE, 5);
    expect(without.summary.rmsPx).toBeGreaterThan(0.5);
  });
});

describe("foreshortening against Taylor's scaled orthography", () => {
  // l = 0.30 m, 200 px/m, (-24, 45) px, from so far away that rays are parallel.
  const DISTANCE = 1e6;
  const level: Camera = {
    focalPx: 200 * DISTANCE,
    cx: 0,
    cy: 0,
    rotation: [0, -1, 0, 0, 0, -1, 1, 0, 0],
    x: -DISTANCE,
    y: 0,
    z: 0,
  };

  it("gives the published depth and out-of-plane angle", () => {
    const { aside, depth } = foreshortening(level, sight(level, [-24, 45]), [0, 0, 0], 0.3);
    expect(aside).toBeCloseTo(51 / 200, 6);
    expect(depth).toBeCloseTo(0.158034806, 6);
    expect((180 / Math.PI) * Math.asin(depth / 0.3)).toBeCloseTo(31.788331, 4);
    const arm = { from: [0, 0, 0], length: 0.3 } as const;
    expect(jointOnRay(level, sight(level, [-24, 45]), { ...arm, isToward: true })[0]).toBeCloseTo(
      -0.158034806,
      5,
    );
    expect(jointOnRay(level, sight(level, [-24, 45]), { ...arm, isToward: false })[0]).toBeCloseTo(
      0.158034806,
      5,
    );
  });

  it("gives the published uncertainty of the depth for 1 px in each coordinate of both ends", () => {
    const sources = new Sources();
    const px = (value: number) => sources.add(value, 1);
    const depth = deriveOne(
      (u1, v1, u2, v2) => foreshortening(level, sight(level, [u2, v2]), [0, -u1 / 200, -v1 / 200], 0.3).depth,
      [px(0), px(0), px(-24), px(45)],
    );
    expect(depth.u).toBeCloseTo(0.011409653, 6);
  });
});
