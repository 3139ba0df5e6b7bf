import { describe, expect, it } from "vitest";
import { CameraFollower, type FrameMotion } from "../../src/motion/followCamera.ts";
import { judgeMotion } from "../../src/motion/judgeMotion.ts";
import { mapped } from "../../src/motion/planeMap.ts";
import { DrawnScene, type Shift } from "../helpers/drawnScene.ts";
import { seeded } from "../helpers/random.ts";

/** Scenes drawn in closed form (tests/helpers/drawnScene.ts), 240 x 180 px, a sensor's noise of 3 levels, somebody passing. */
const SIZE = { width: 240, height: 180 };

function followed(frames: number, move: (n: number) => Shift, seed = 1): (FrameMotion | null)[] {
  const scene = new DrawnScene(SIZE.width, SIZE.height, seed);
  const follower = new CameraFollower();
  const random = seeded(seed + 50);
  return Array.from({ length: frames }, (_, n) =>
    follower.add(
      scene.seen(n === 0 ? {} : move(n), {
        passer: { x: 20 + 9 * n, y: 100, radius: 25 },
        noise: { sd: 3, random },
      }),
    ),
  );
}

function expectNear(found: (FrameMotion | null)[], move: (n: number) => Shift, withinPx: number) {
  for (const [n, seen] of found.entries()) {
    const { dx = 0, dy = 0, turnDeg = 0, scale = 1 } = n === 0 ? {} : move(n);
    expect(seen).not.toBeNull();
    expect(Math.hypot(seen!.dxPx - dx, seen!.dyPx - dy)).toBeLessThan(withinPx);
    expect(Math.abs(seen!.turnDeg - turnDeg)).toBeLessThan(0.02);
    expect(Math.abs(seen!.scale - scale)).toBeLessThan(0.0006);
  }
}

describe("the camera followed by its background", () => {
  it("jumps by whole and broken pixels, both ways, to a thirtieth of a pixel", () => {
    const moves: Shift[] = [
      { dx: 3.3, dy: -1.7 },
      { dx: -4.25, dy: 2.5 },
      { dx: 0.4, dy: 0.1 },
      { dx: -9.6, dy: -6.4 },
    ];
    const move = (n: number) => moves[(n - 1) % moves.length]!;
    expectNear(followed(7, move), move, 0.035);
  });

  it("turns clockwise and grows", () => {
    const move = (n: number): Shift => ({ turnDeg: 0.3 * n, scale: 1 + 0.008 * n, dx: 0.2 * n });
    expectNear(followed(7, move), move, 0.05);
  });

  it("pans until little of frame 0 is left", () => {
    const move = (n: number): Shift => ({ dx: -16 * n, dy: n });
    expectNear(followed(10, move), move, 0.12);
  });

  it("pans by a picture and a half along boards above bare ice", () => {
    const scene = new DrawnScene(SIZE.width, SIZE.height, 5, { aside: 420, down: 60 });
    const follower = new CameraFollower();
    const random = seeded(55);
    for (let n = 0; n < 24; n++) {
      const seen = follower.add(scene.seen({ dx: -16 * n }, { noise: { sd: 3, random } }));
      expect(seen).not.toBeNull();
      // Where the boards are seen; the middle of the picture shows none of them.
      const at = mapped(seen!.map, 120 + 16 * n, 25);
      expect(Math.hypot(at.x - 120, at.y - 25)).toBeLessThan(0.3);
      const far = Math.hypot(seen!.dxPx + 16 * n, seen!.dyPx);
      const sd = Math.sqrt(seen!.variance.dxPx + seen!.variance.dyPx);
      expect(far).toBeLessThan(3 * Math.hypot(sd, 0.1));
    }
  });

  it("is not known where somebody who is kept in the middle is all there is to see", () => {
    const scene = new DrawnScene(480, 360, 6, { down: -60 });
    const follower = new CameraFollower();
    const random = seeded(56);
    const passer = { x: 240, y: 180, radius: 26, tall: 6 };
    const seen = [0, 1, 2, 3].map(() => follower.add(scene.seen({}, { passer, noise: { sd: 3, random } })));
    expect(seen.every((motion) => motion === null)).toBe(true);
  });

  it("is not known before a picture without anything in it, and is again after it", () => {
    const scene = new DrawnScene(SIZE.width, SIZE.height, 4);
    const follower = new CameraFollower();
    const bare = { ...SIZE, data: new Uint8Array(SIZE.width * SIZE.height).fill(120) };
    const seen = [scene.seen({}), bare, scene.seen({ dx: 2 })].map((picture) => follower.add(picture));
    expect(seen[1]).toBeNull();
    expect(seen[2]!.dxPx).toBeCloseTo(2, 1);
  });

  it("begins with the first frame that shows enough: bare ice, darkness or hardly anything before it", () => {
    const scene = new DrawnScene(SIZE.width, SIZE.height, 4);
    const bare = { ...SIZE, data: new Uint8Array(SIZE.width * SIZE.height).fill(120) };
    const other = new DrawnScene(SIZE.width, SIZE.height, 9).seen({});
    // A corner of something that is never seen again.
    const hardly = {
      ...SIZE,
      data: bare.data.map((v, k) => (k % SIZE.width < 100 && k < 80 * SIZE.width ? other.data[k]! : v)),
    };
    for (const [first, most] of [
      [bare, 3],
      [hardly, 8],
    ] as const) {
      const follower = new CameraFollower();
      const shift = (n: number): Shift => ({ dx: 0.5 * n, dy: -0.2 * n });
      for (let n = 0; n < 14; n++) follower.add(n === 0 ? first : n < 3 ? bare : scene.seen(shift(n)));
      const { frames } = follower.end();
      const start = frames.findIndex((f) => f !== null);
      expect(start).toBeLessThanOrEqual(most);
      expect(frames.slice(0, start).every((f) => f === null)).toBe(true);
      for (let n = start; n < 14; n++) {
        expect(frames[n]!.dxPx).toBeCloseTo(0.5 * (n - start), 1);
        expect(frames[n]!.dyPx).toBeCloseTo(-0.2 * (n - start), 1);
      }
    }
  });

  it("stands still, with a noise as large as what was found", () => {
    const found = followed(12, () => ({}), 2);
    const { still, noisePx } = judgeMotion(found, SIZE);
    const off = found.slice(1).flatMap((f) => [f!.dxPx, f!.dyPx]);
    const sd = Math.sqrt(off.reduce((sum, v) => sum + v * v, 0) / off.length);
    expect(still).toBe(true);
    expect(noisePx! / sd).toBeGreaterThan(0.8);
    expect(noisePx! / sd).toBeLessThan(2);
  });
});
