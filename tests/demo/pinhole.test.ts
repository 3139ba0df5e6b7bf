import { describe, expect, it } from "vitest";
import { type Truth, truths } from "./demoFiles.ts";

/**
 * A pinhole camera written from its textbook form, x ~ K [R | -R c] X with one 3 x 4 matrix, and so by another way
 * than the generator's: Hartley & Zisserman, Multiple View Geometry, 2nd ed., 6.1 [memory].
 */
function cameraMatrix({ place_m: c, aim_m: a, focal_px: f, picture: [w, h] }: Truth["camera"]): number[][] {
  // Heading and pitch of the viewing direction; a level camera's right hand has no height.
  const heading = Math.atan2(a[1] - c[1], a[0] - c[0]);
  const pitch = Math.atan2(a[2] - c[2], Math.hypot(a[0] - c[0], a[1] - c[1]));
  const [ch, sh, cp, sp] = [Math.cos(heading), Math.sin(heading), Math.cos(pitch), Math.sin(pitch)];
  const R = [
    [sh, -ch, 0],
    [ch * sp, sh * sp, -cp],
    [ch * cp, sh * cp, sp],
  ];
  const t = R.map((row) => -(row[0]! * c[0] + row[1]! * c[1] + row[2]! * c[2]));
  const K = [
    [f, 0, (w - 1) / 2],
    [0, f, (h - 1) / 2],
    [0, 0, 1],
  ];
  const Rt = R.map((row, i) => [...row, t[i]!]);
  return K.map((row) => [0, 1, 2, 3].map((j) => row.reduce((sum, k, i) => sum + k * Rt[i]![j]!, 0)));
}

function seen(P: number[][], [x, y, z]: readonly [number, number, number]): { x: number; y: number } {
  const [u, v, s] = P.map((row) => row[0]! * x + row[1]! * y + row[2]! * z + row[3]!) as [
    number,
    number,
    number,
  ];
  return { x: u / s, y: v / s };
}

const every = [...truths(), ...truths("arms-study")];

describe("the projected points beside every clip", () => {
  it("covers thirteen clips of the one evening and twelve of the other", () => {
    expect([truths().length, truths("arms-study").length]).toEqual([13, 12]);
    expect(new Set(every.map((t) => t.clip)).size).toBe(25);
  });

  it.each(every.map((t) => [t.clip, t] as const))(
    "%s: each point is where its place in the world is seen",
    (_, truth) => {
      const P = cameraMatrix(truth.camera);
      // Places are written to a micrometre, which a camera 14 m away at 4,400 px sees as 0.0003 px.
      const tolerance = 5e-4;
      for (const p of truth.ice_points) {
        const at = seen(P, [p.x_m, p.y_m, 0]);
        expect(Math.hypot(at.x - p.x_px, at.y - p.y_px)).toBeLessThan(tolerance);
        expect(p.x_px).toBeGreaterThan(0);
        expect(p.x_px).toBeLessThan(truth.camera.picture[0] - 1);
        expect(p.y_px).toBeGreaterThan(0);
        expect(p.y_px).toBeLessThan(truth.camera.picture[1] - 1);
      }
      const points = truth.events.flatMap((e) => e.points);
      expect(points.length).toBeGreaterThan(200);
      for (const p of points) {
        const at = seen(P, p.m);
        expect(Math.hypot(at.x - p.x_px, at.y - p.y_px)).toBeLessThan(tolerance);
      }
    },
  );
});
