import { describe, expect, it } from "vitest";
import { Background } from "../../../src/ice/moving/follow/background.ts";
import { CameraFollower } from "../../../src/motion/followCamera.ts";
import { mapped } from "../../../src/motion/planeMap.ts";
import { median } from "../../../src/statistics/median.ts";
import { judge } from "../judge.ts";
import { filmPan } from "./filmPan.ts";
import { seenAgain } from "./paint.ts";
import { paintedFrames, paintedMotion } from "./paintedPan.ts";
import { KINDS, measured } from "./pan.ts";

/**
 * A pan from end to end: frames painted row by row as the camera turns, boards above pale ice and the skater before them, followed by the
 * follower itself, ice points on three frames. Longer ones of each kind: docs/camera-motion.md.
 */
describe("a painted pan, shaking, its rows read one after the other, through a lens that bends lines", () => {
  const kind = {
    ...KINDS.panned!,
    from: [18.3, -11, 4] as const,
    k1: -0.04,
    readoutS: 0.02,
    jitterPx: 0.5,
    width: 480,
    fps: [50],
    reach: 6.5,
  };
  const film = filmPan(11, kind, 0, 0);

  it("is followed through, and its intervals hold the truth", () => {
    const motion = paintedMotion(film, 3);
    const told = motion.frames.filter((frame) => frame !== null).length;
    expect(told).toBeGreaterThan(0.95 * motion.frames.length);
    const document = measured(film, motion);
    if (typeof document === "string") throw new Error(document);
    const given = judge(film, document, null).filter(
      ({ quantity, error }) => quantity.endsWith("_m") && !quantity.startsWith("first ") && error !== null,
    );
    expect(given.length).toBeGreaterThan(8);
    expect(given.filter((v) => v.covered).length).toBeGreaterThanOrEqual(0.85 * given.length);
  }, 300_000);
});

/** About as an equidistant lens of 60° does it, rows read in 20 ms: until the lens was learned from the pan, not one frame was told. */
it("through a lens that bends lines much, places are seen where they are, from frame to frame and a quarter of the picture on", () => {
  const kind = { ...KINDS.panned!, from: [18.3, -8, 4] as const, hfovDeg: 60, angles: 0.9, readoutS: 0.02 };
  const film = filmPan(11, { ...kind, width: 480, fps: [30], reach: 6 }, 0, 0);
  const { course, part, picture } = film;
  const motion = paintedMotion(film, 3);
  const told = motion.frames.filter((frame) => frame !== null).length;
  expect(told).toBeGreaterThan(0.95 * motion.frames.length);
  const background = new Background(motion, picture);
  const offBy = (step: number) =>
    background.told.flatMap((frame) => {
      const other = frame - step;
      if (other < part[0] || !background.isTold(other)) return [];
      return [0.1, 0.3, 0.5, 0.7, 0.9].flatMap((across) =>
        [0.15, 0.5, 0.85].flatMap((down) => {
          const [x, y] = [across * (picture.width - 1), down * (picture.height - 1)];
          const truth = seenAgain(course.frame(frame), course.frame(other), x, y);
          if (!truth || truth[0] < 0 || truth[0] > picture.width - 1) return [];
          const at = background.seenIn(other, frame, { xPx: x, yPx: y })!;
          return [Math.hypot(at.xPx - truth[0], at.yPx - truth[1])];
        }),
      );
    });
  const [near, far] = [offBy(1), offBy(10)];
  expect(Math.min(near.length, far.length)).toBeGreaterThan(200);
  expect(median(near)).toBeLessThan(0.15);
  expect(median(far)).toBeLessThan(0.4);
  // One map a frame knows nothing of the rows' times, which move the corners.
  expect(Math.max(...far)).toBeLessThan(3);
}, 300_000);

/**
 * The skater's own places stay where they are as the camera pans: told as still, it was off by 14 and 16 px. And boards along the
 * picture's edge were never looked for in its coarse copies: from the second frame on nothing was told.
 */
it.each([
  [108, 0],
  [122, 2],
])("where hardly any boards are in view they are followed, not the skater (%i)", (seed, who) => {
  const film = filmPan(seed, { ...KINDS.diagonal!, width: 480, fps: [30], reach: 8 }, who, 0);
  const { course, part, picture } = film;
  const follower = new CameraFollower();
  let [frame, told] = [part[0], 0];
  for (const grey of paintedFrames(film, seed, true, 4)) {
    const found = follower.add(grey);
    if (found) told++;
    for (const x of found ? [80, 240, 400] : []) {
      const before = seenAgain(course.frame(frame), course.frame(part[0]), x, picture.height / 2);
      if (!before) continue;
      const at = mapped(found!.map, ...before);
      expect(Math.hypot(at.x - x, at.y - picture.height / 2)).toBeLessThan(3);
    }
    if (++frame === part[0] + 12) break;
  }
  expect(told).toBeGreaterThanOrEqual(9);
});
