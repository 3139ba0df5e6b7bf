import { describe, expect, it } from "vitest";
import type { PlacedPoint } from "../../src/kinematics/types.ts";
import type { Mark } from "../../src/study/types.ts";
import { gateDoubt } from "../../src/trials/gateDoubt.ts";

const FPS = 60;
/** 8 m/s from the start line: x = 8 t, marked every 20 frames between 1 s and 3 s. */
const FRAMES = [60, 80, 100, 120, 140, 160, 180];
const at = (frame: number) => (8 * frame) / FPS;
const places = FRAMES.map(
  (frame): PlacedPoint => ({ frame, side: "left", point: "blade", x: at(frame), y: 0, z: 0 }),
);
const marks = FRAMES.map(
  (frame): Mark => ({ frame, time: frame / FPS, point: "blade_heel", side: "left", xPx: 0, yPx: 0 }),
);
const doubt = (gate: number, frame: number, speedFactor = 1) =>
  gateDoubt({ gate, frame, time: frame / FPS }, { marks }, places, speedFactor, "m");

describe("the frame picked for a gate", () => {
  it("is not doubted where the skater truly is, within the marked frames or beyond", () => {
    for (const frame of [0, 30, 60, 75, 120, 133, 180, 220]) expect(doubt(at(frame), frame)).toBeNull();
  });

  it("is doubted where the marks put the skater elsewhere, with the place and the moment", () => {
    expect(doubt(0, 120)).toMatch(
      /at 16 m in this same frame \(frame 120\), so this can't be the gate at 0 m/,
    );
    // Between marked frames: half a second late is 4 m off; the nearest marked frame is a sixth of a second away.
    expect(doubt(at(120), 150)).toMatch(/at 18.7 m 0.17 s before it/);
    expect(doubt(at(150), 120)).not.toBeNull();
  });

  it("is doubted outside the marked frames where nobody skates so fast, or backwards", () => {
    // 8 m in a quarter of a second.
    expect(doubt(0, 45)).toMatch(/0\.25 s after it/);
    // The first marked place is 8 m: a gate at 12 m can't have been passed before.
    expect(doubt(12, 45)).not.toBeNull();
    // Real seconds count: four times slower than life, 15 frames are a sixteenth of a second.
    expect(doubt(4, 30)).toBeNull();
    expect(doubt(4, 30, 4)).not.toBeNull();
  });

  it("is not judged where nothing is marked", () => {
    expect(gateDoubt({ gate: 0, frame: 9, time: 0.15 }, { marks: [] }, places, 1, "m")).toBeNull();
    expect(gateDoubt({ gate: 0, frame: 9, time: 0.15 }, { marks }, [], 1, "m")).toBeNull();
  });
});
