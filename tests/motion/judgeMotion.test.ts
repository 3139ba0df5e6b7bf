import { describe, expect, it } from "vitest";
import type { FrameMotion } from "../../src/motion/followCamera.ts";
import { type CameraMotion, judgeMotion } from "../../src/motion/judgeMotion.ts";
import { normal, seeded } from "../helpers/random.ts";

/** What is said of made-up courses of frames whose motion is known. */
const SIZE = { width: 1280, height: 720 };
const FRAMES = 150;

interface MadeUp {
  readonly x: (n: number) => number;
  readonly y?: (n: number) => number;
  /** SD of one coordinate, px, also as stated with each frame. */
  readonly noise?: number;
  readonly random?: () => number;
  readonly frames?: number;
}

function judged({ x, y = () => 0, noise = 0.03, random = seeded(1), frames = FRAMES }: MadeUp): CameraMotion {
  const variance = { dxPx: noise ** 2, dyPx: noise ** 2, turnDeg: 1e-8, scale: 1e-10 };
  const found = Array.from({ length: frames }, (_, n): FrameMotion => {
    const off = () => (n === 0 ? 0 : noise * normal(random));
    const [dxPx, dyPx] = [x(n) - x(0) + off(), y(n) - y(0) + off()];
    return { dxPx, dyPx, turnDeg: 0, scale: 1, map: [1, 0, dxPx, 0, 1, dyPx, 0, 0, 1], variance };
  });
  return judgeMotion(found, SIZE);
}

const codes = ({ warnings }: CameraMotion) => warnings.map(({ code }) => code);

describe("what is said of a camera's motion", () => {
  it("stands still within its noise, in 98 of 100 clips at least", () => {
    const random = seeded(11);
    const clips = Array.from({ length: 100 }, (_, k) =>
      judged({ x: () => 0, noise: 0.005 + 0.0005 * k, random, frames: 60 }),
    );
    expect(clips.filter(({ still, bumps }) => still !== true || bumps.length > 0).length).toBeLessThan(2);
  });

  it("tells a step with its frame, size and sign, from the shaking around it", () => {
    for (const [size, shake] of [
      [-0.6, 0],
      [3, 0],
      [12, 1.5],
    ] as const) {
      const random = seeded(3);
      const found = judged({ x: (n) => (n >= 83 ? size : 0) + shake * normal(random) });
      expect(found.still).toBe(false);
      expect(found.bumps).toHaveLength(1);
      expect(Math.abs(found.bumps[0]!.frame - 83)).toBeLessThanOrEqual(2);
      expect(Math.abs(found.bumps[0]!.dxPx - size)).toBeLessThan(0.5);
      expect(codes(found)).toContain("camera-bumped");
    }
  });

  it("calls shaking, wandering, swaying at any rate, pans and drifts no step, in 98 of 100 clips at least", () => {
    const random = seeded(5);
    const kinds: ((k: number) => (n: number) => number)[] = [
      () => () => 1.5 * normal(random),
      () => {
        let at = 0;
        return () => (at = 0.98 * at + 0.5 * normal(random));
      },
      (k) => (n) => 5 * Math.sin((0.02 + 0.012 * k) * n + k),
      () => (n) => 2 * n + 0.5 * normal(random),
      (k) => (n) => 150 / (1 + Math.exp(-(n - 75) / (8 + k))),
      () => (n) => 0.01 * n,
    ];
    const alarms = kinds.map(
      (kind) =>
        Array.from({ length: 25 }, (_, k) => judged({ x: kind(k), random })).filter(
          ({ bumps }) => bumps.length > 0,
        ).length,
    );
    expect(alarms.reduce((a, b) => a + b, 0)).toBeLessThanOrEqual(3);
  });

  it("says what shakes and what moves, and of what moves a noise no smaller than films show", () => {
    const shaking = judged({ x: (n) => 1.5 * Math.sin(2.4 * n), noise: 0.01 });
    expect(codes(shaking)).toEqual(["camera-shakes"]);
    // On warped films the errors have 0.04 px though the parts of the picture agree better (tests/media/motion.test.ts).
    expect(shaking.noisePx).toBeGreaterThan(0.04);
    expect(codes(judged({ x: (n) => 0.01 * n }))).toEqual(["camera-moves"]);
    expect(codes(judged({ x: () => 0 }))).toEqual([]);
  });

  it("can't tell where most frames don't, and names those that don't where few", () => {
    const nothing = judgeMotion(new Array(40).fill(null), SIZE);
    expect(nothing).toMatchObject({ still: null, noisePx: null, bumps: [] });
    expect(codes(nothing)).toEqual(["background-unknown"]);
    const { frames } = judged({ x: () => 0 });
    const some = judgeMotion(
      frames.map((f, n) => (n > 30 && n < 35 ? null : f)),
      SIZE,
    );
    expect(codes(some)).toEqual(["background-lost"]);
    expect(some.warnings[0]!.text).toContain("frames 31 to 34");
    expect(some.still).toBe(true);
  });
});
