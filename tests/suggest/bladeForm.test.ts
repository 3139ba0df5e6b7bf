import { describe, expect, it } from "vitest";
import { type Camera, project } from "../../sample-clips/make/camera.ts";
import { heelToToe } from "../../src/suggest/bladeForm.ts";
import { trunkOf } from "../../src/suggest/trunk.ts";
import { madeUpBodies } from "./madeUpBody.ts";

/** A pinhole camera 2.4 m above the ice that looks along the lane from 45 m. */
const camera: Camera = { place: [45, 0.6, 2.4], aim: [18, 0, 0.3], hfovDeg: 18, width: 1280, height: 720 };
const BLADE = 0.28;

/** A blade that lies on the ice, in the picture; the body's size goes as one over its distance. */
function lying(x: number, turned: number) {
  const [heel, toe] = [0, BLADE].map((along) =>
    project(camera, [x + along * Math.cos(turned), 0.4 + along * Math.sin(turned), 0]),
  );
  return { heel: heel!, toe: toe!, size: 1500 / (camera.place[0] - x) };
}

describe("from heel to toe of a blade", () => {
  // Truth: the renderer's projection, which shares no code with src.
  it.each([0, -0.2, 0.25])(
    "on the ice is what a camera along the lane shows of it, turned by %f rad",
    (turned) => {
      const known = [24, 22].map((x) => lying(x, turned));
      const far = lying(14, turned);
      const told = heelToToe(known, true, far.size);
      expect(Math.abs(told.x - (far.toe.x - far.heel.x))).toBeLessThan(0.3);
      expect(Math.abs(told.y - (far.toe.y - far.heel.y))).toBeLessThan(0.3);
      // As wide as it is tall at every size it would look too long by so much.
      const [near] = known;
      const asSize = ((near!.toe.y - near!.heel.y) * far.size) / near!.size;
      expect(asSize - (far.toe.y - far.heel.y)).toBeGreaterThan(1);
    },
  );
});

describe("the place of the trunk that hips hang on", () => {
  const bodies = madeUpBodies({ cycle: 37, at: (f) => ({ x: 300 + 2 * f, y: 200, size: 50 }) }, 40);

  it("is the same whichever hip and shoulder the model takes for which", () => {
    const exchanged = bodies.map((b) => ({
      ...b,
      points: b.points.map((_, k) => b.points[k === 0 ? 0 : k % 2 === 1 ? k + 1 : k - 1]!),
    }));
    expect(trunkOf(exchanged[20]!, exchanged, 1 / 60)).toEqual(trunkOf(bodies[20]!, bodies, 1 / 60));
  });

  it("is not drawn along the way she moves where frames on one side of it are missing", () => {
    const cut = bodies.map((b, f) => (f > 21 ? undefined : b));
    const [all, some] = [trunkOf(bodies[20]!, bodies, 1 / 60), trunkOf(bodies[20]!, cut, 1 / 60)];
    expect(some.x).toBeCloseTo(all.x, 6);
  });
});
