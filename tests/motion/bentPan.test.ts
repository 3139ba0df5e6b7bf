import { describe, expect, it } from "vitest";
import { Background } from "../../src/ice/moving/follow/background.ts";
import { CameraFollower } from "../../src/motion/followCamera.ts";
import { judgeMotion } from "../../src/motion/judgeMotion.ts";
import { keptMotion } from "../../src/motion/keptMotion.ts";
import { angles, brown, type Eye, seenAlong, seenByTurned } from "../helpers/bentPan.ts";
import { DrawnScene } from "../helpers/drawnScene.ts";
import { normal, seeded } from "../helpers/random.ts";

/**
 * Pans drawn in closed form through lenses that bend lines (tests/helpers): the camera turns by a picture's width and more, with a
 * sensor's noise of 3 levels and somebody who is kept in the middle.
 */
const SIZE = { width: 400, height: 226 };
const STEP = 0.028;
const PLACES = [0.1, 0.3, 0.5, 0.7, 0.9].flatMap((a) =>
  [0.15, 0.4, 0.65, 0.85].map((d) => [a * (SIZE.width - 1), d * (SIZE.height - 1)] as const),
);

function followed(eye: Eye, frames: number, panOf: (n: number) => number) {
  const focal = eye.width / 2 / Math.tan((eye.hfovDeg * Math.PI) / 360);
  const scene = new DrawnScene(eye.width, eye.height, 7, { aside: 700 });
  const random = seeded(8);
  const follower = new CameraFollower();
  for (let n = 0; n < frames; n++) {
    const where = (x: number, y: number) =>
      seenAlong(eye, panOf(n), 0, [(x - (eye.width - 1) / 2) / focal, (y - (eye.height - 1) / 2) / focal, 1]);
    const passer = { x: 200, y: 150, radius: 16, tall: 2 };
    follower.add(scene.seen({}, { where, passer, noise: { sd: 3, random } }));
  }
  const { frames: found, bend } = follower.end();
  return { found, bend, motion: keptMotion(judgeMotion(found, SIZE, bend), "c", 0, SIZE) };
}

/** Root mean square over places all over the picture of what a frame is off by against one some frames earlier, px, by frame. */
function offBy(eye: Eye, background: Background, frames: number, step: number, panOf: (n: number) => number) {
  return Array.from({ length: frames - step }, (_, k) => {
    const [from, to] = [k + step, k];
    const offs = PLACES.flatMap((p) => {
      const truth = seenByTurned(eye, panOf(to) - panOf(from), 0, p);
      if (!truth || truth[0] < 0 || truth[0] > SIZE.width - 1) return [];
      const at = background.seenIn(to, from, { xPx: p[0], yPx: p[1] })!;
      return [(at.xPx - truth[0]) ** 2 + (at.yPx - truth[1]) ** 2];
    });
    return Math.sqrt(offs.reduce((sum, v) => sum + v, 0) / offs.length);
  });
}

describe("a pan through a lens that bends lines", () => {
  it.each([
    ["65 degrees, k1 = -0.12", 65, brown(-0.12)],
    ["60 degrees, keeping angles", 60, angles(1)],
  ])("%s: is followed from edge to edge, on every frame", (_, hfovDeg, seen) => {
    const eye = { ...SIZE, hfovDeg, seen };
    const panOf = (n: number) => STEP * (n - 13);
    const frames = 26;
    const { found, motion, bend } = followed(eye, frames, panOf);
    expect(found.filter((f) => f !== null)).toHaveLength(frames);
    expect(motion.bend).toEqual({
      second: expect.closeTo(bend!.second, 6),
      fourth: expect.closeTo(bend!.fourth, 6),
      drift: expect.closeTo(bend!.drift, 6),
    });
    const background = new Background(motion, SIZE);
    expect(Math.max(...offBy(eye, background, frames, 1, panOf))).toBeLessThan(0.25);
    expect(Math.max(...offBy(eye, background, frames, 10, panOf))).toBeLessThan(0.35);
    // Where frame 0's middle is seen, as long as it is.
    for (const n of [3, 8]) {
      const middle = [(SIZE.width - 1) / 2, (SIZE.height - 1) / 2] as const;
      const truth = seenByTurned(eye, panOf(n) - panOf(0), 0, middle)!;
      expect(Math.abs(found[n]!.dxPx - (truth[0] - middle[0]))).toBeLessThan(0.2);
      expect(Math.abs(found[n]!.dyPx - (truth[1] - middle[1]))).toBeLessThan(0.2);
    }
  });

  it("and of one that bends none, or a camera that only shakes, no lens is told", () => {
    const straight = { ...SIZE, hfovDeg: 65, seen: brown(0) };
    const pan = followed(straight, 12, (n) => STEP * (n - 6));
    expect(pan.bend).toBeNull();
    expect("bend" in pan.motion).toBe(false);
    const random = seeded(3);
    const shakes = Array.from({ length: 10 }, (_, n) => (n === 0 ? 0 : 0.004 * normal(random)));
    const shaken = followed({ ...SIZE, hfovDeg: 65, seen: brown(-0.12) }, 10, (n) => shakes[n]!);
    expect(shaken.bend).toBeNull();
  });
});
