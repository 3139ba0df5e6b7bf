import { describe, expect, it } from "vitest";
import { gateLine } from "../../src/ice/camera/gateLine.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import { truthOfClip } from "../demo/demoFiles.ts";

// The generator's own camera: place, aim and focal length of the truth, by the rule of three of a pinhole, no code of src.
const truth = truthOfClip("aino-close-1");

function seen(x: number, y: number, z: number): readonly [number, number] {
  const { place_m: c, aim_m: aim, focal_px: f, picture } = truth.camera;
  const minus = (a: readonly number[], b: readonly number[]) => a.map((v, k) => v - b[k]!);
  const unit = (v: readonly number[]) => v.map((w) => w / Math.hypot(...v));
  const cross = ([a, b, d]: readonly number[], [e, g, h]: readonly number[]) => [
    b! * h! - d! * g!,
    d! * e! - a! * h!,
    a! * g! - b! * e!,
  ];
  const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, v, k) => sum + v * b[k]!, 0);
  const ahead = unit(minus(aim, c));
  const right = unit(cross(ahead, [0, 0, 1]));
  const down = cross(ahead, right);
  const p = minus([x, y, z], c);
  const [width, height] = picture;
  const depth = dot(p, ahead);
  return [(width - 1) / 2 + (f * dot(p, right)) / depth, (height - 1) / 2 + (f * dot(p, down)) / depth];
}

const points = truth.ice_points.map((p) => ({
  label: p.label,
  x: p.x_m,
  y: p.y_m,
  xPx: p.x_px,
  yPx: p.y_px,
}));
const [width, height] = truth.camera.picture;
const scale = fitScale({ kind: "ice-points", points }, { width, height }, 1.5);

describe("the line between the posts of a gate", () => {
  it("lies where the generator's camera sees it, and so does the plane over it", () => {
    for (const p of truth.ice_points) {
      const [x, y] = seen(p.x_m, p.y_m, 0);
      expect(Math.hypot(x - p.x_px, y - p.y_px), "the rule of three is the generator's").toBeLessThan(0.6);
    }
    for (const gate of truth.gates) {
      const line = gateLine(scale, gate.x_m, 0);
      if (!line) return expect.fail(`no line at ${gate.x_m} m`);
      const from = Math.max(-2.5, Math.min(...truth.ice_points.map((p) => p.y_m)));
      const [x, y] = seen(gate.x_m, from, 0);
      expect(Math.hypot(line.ice[0]! - x, line.ice[1]! - y)).toBeLessThan(2);
      const [overX, overY] = seen(gate.x_m, from, 1);
      expect(Math.hypot(line.above![2]! - overX, line.above![3]! - overY)).toBeLessThan(3);
    }
  });

  it("is not drawn where the ice points do not reach: the scale is a guess there", () => {
    const far = Math.max(...truth.ice_points.map((p) => p.x_m)) + 5;
    expect(gateLine(scale, far, 0)).toBeNull();
  });
});
