import { describe, expect, it } from "vitest";
import type { Camera } from "../../src/ice/camera/camera.ts";
import type { UncertainCamera } from "../../src/ice/camera/ground.ts";
import type { TravelLine } from "../../src/kinematics/trial/travelLine.ts";
import type { TrialGeometry } from "../../src/kinematics/trial/trialGeometry.ts";
import { exactly, Sources } from "../../src/uncertainty/uncertain.ts";
import { jointPoint } from "../../src/views/joint/jointPoint.ts";
import { type Filmer, filmer, see, type Vec } from "../validate/lens.ts";
import { dice } from "../validate/random.ts";

/** The validation's own camera (written from first principles, no code of src) in the core's terms. */
function asCamera({ at, right, down, into, focal, width, height }: Filmer): Camera {
  return {
    focalPx: focal,
    cx: (width - 1) / 2,
    cy: (height - 1) / 2,
    rotation: [...right, ...down, ...into],
    ...{ x: at[0], y: at[1], z: at[2] },
  };
}

/** A view whose camera is known exactly: only marks err. */
function viewBy(f: Filmer): TrialGeometry {
  const camera = asCamera(f);
  const view: UncertainCamera = {
    camera,
    lens: { k1: 0 },
    deviations: [],
    at: () => ({ camera, straighten: (u, v) => [u, v] }),
  };
  return { ground: { cameraIn: () => view, offIceWhy: null } } as unknown as TrialGeometry;
}

const front = filmer([28, 0.2, 3], [18, 0, 0.6], 65);
const bench = filmer([18.5, -8, 2.5], [18, 0, 0.6], 65);
const point: Vec = [18.2, 0.35, 1.1];
const line = {
  from: { x: exactly(15), y: exactly(0) },
  to: { x: exactly(20), y: exactly(0.1) },
} as unknown as TravelLine;

function found(marks: readonly (readonly [number, number])[], sd: number, beliefU: number) {
  const sources = new Sources();
  const sights = [front, bench].map((f, k) => ({
    trial: viewBy(f),
    frame: 0,
    mark: { u: sources.add(marks[k]![0], sd), v: sources.add(marks[k]![1], sd) },
    moved: null,
  }));
  // Held to be half a metre from where it is: two rays must not care.
  const belief = { line, along: sources.add(3.7, beliefU), height: sources.add(0.6, beliefU) };
  return jointPoint(sights, belief, [18.7, 0, 0.6]);
}

const exact = [front, bench].map((f) => see(f, point)!);

describe("a point by two rays", () => {
  it("is where the rays meet, whatever was held of it", () => {
    const { x, y, z } = found(exact, 1, 100);
    expect([x.value, y.value, z.value].map((v, k) => Math.abs(v - point[k]!) < 1e-4)).toEqual([
      true,
      true,
      true,
    ]);
  });

  it("scatters as its ± says, and its rays miss each other as chi-square does", () => {
    const d = dice(20260117);
    const draws = 600;
    const runs = Array.from({ length: draws }, () =>
      found(
        exact.map(([u, v]) => [u + d.normal(1), v + d.normal(1)] as const),
        1,
        100,
      ),
    );
    for (const [axis, k] of [
      ["x", 0],
      ["y", 1],
      ["z", 2],
    ] as const) {
      const rms = Math.sqrt(runs.reduce((sum, p) => sum + (p[axis].value - point[k]) ** 2, 0) / draws);
      // 600 draws tell a standard deviation to 3 %.
      expect(rms / runs[0]![axis].u).toBeGreaterThan(0.91);
      expect(rms / runs[0]![axis].u).toBeLessThan(1.09);
    }
    // Six equations of three unknowns; the two beliefs are far wider than they err here, so one degree is left.
    const mean = runs.reduce((sum, p) => sum + p.square, 0) / draws;
    expect(mean).toBeGreaterThan(0.85);
    expect(mean).toBeLessThan(1.15);
  });

  it("takes the belief for a third voice where it is sure", () => {
    const wide = found(exact, 3, 100);
    const sure = found(exact, 3, 0.005);
    expect(sure.x.u).toBeLessThan(wide.x.u);
    expect(sure.square).toBeGreaterThan(100);
  });
});
