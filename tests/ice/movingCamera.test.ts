import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { type Panning, pannedTrial } from "../helpers/pannedTrial.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

// Expected values: the simulated skater's own points by the definitions (tests/helpers), and precision.md 4.
const vary = (n: number) => 0.04 * Math.sin(3 * n);
const skater = simulateSkater({ ...ORDINARY, strides: 6, speed: 7, startX: 11, heading: 0.02, vary });
const follow = (time: number) =>
  [11 + 7 * time + 0.5 * Math.sin(5 * time), 0.2 * Math.cos(4 * time)] as const;

const VIEWS = {
  side: { from: [18, -9, 3], hfovAt: () => 40, aimAt: follow },
  "45 from behind": { from: [5, -9, 3], hfovAt: () => 30, aimAt: follow },
  finish: { from: [42, 0.4, 2.5], hfovAt: () => 20, aimAt: follow },
} as const;

function panning(view: Pick<Panning, "from" | "hfovAt" | "aimAt">, more: Partial<Panning> = {}): Panning {
  return {
    ...view,
    ...{ fps: 60, noisePx: 0, statedSdPx: 1, random: seeded(1) },
    ...{ keyPoints: 8, keyFrames: 3, framePoints: 2 },
    ...more,
  };
}

function expectTruth(filming: Panning): void {
  const { input, frames } = pannedTrial(skater, filming);
  const readings = measureTrial(input);
  expect(readings.scaleWhy).toBeNull();
  const at = frames.map((f) => ({
    side: f.side,
    off: f.off / filming.fps,
    nearest: f.nearest / filming.fps,
    on: f.on / filming.fps,
  }));
  for (const quantity of ["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m"] as const) {
    for (let k = 1; k <= 4; k++) {
      const reading = readings.strides[k]!.readings[quantity];
      if (reading.value === null) throw new Error(`${quantity} of stride ${k + 1}: ${reading.why}`);
      expect(Math.abs(reading.atFrame! - byDefinition(skater, at, k)[quantity])).toBeLessThan(0.001);
    }
  }
}

describe.each(Object.entries(VIEWS))("a camera that pans, %s, perfect marks", (_, view) => {
  it("gives the truth at the marked frames to a millimetre, from three key frames and two points a frame", () => {
    expectTruth(panning(view));
  });

  it("finds the tripod and the focal length", () => {
    const { iceFrames, cameraIn } = pannedTrial(skater, panning(view));
    const { camera, frames } = fitScale(
      { kind: "ice-points-by-frame", frames: iceFrames },
      { width: 1920, height: 1080 },
      1,
    ).summary;
    expect(frames).toBe(iceFrames.length);
    expect(Math.hypot(camera!.x - view.from[0], camera!.y - view.from[1])).toBeLessThan(1e-4);
    expect(camera!.height).toBeCloseTo(view.from[2], 4);
    expect(camera!.focalPx).toBeCloseTo(cameraIn(0).focalPx, 2);
  });

  it("gives the same while it zooms", () => {
    const hfovAt = (time: number) => view.hfovAt() * (1 - 0.1 * time);
    expectTruth(panning({ ...view, hfovAt }));
    expectTruth(panning({ ...view, hfovAt }, { framePoints: 4 }));
  });
});
