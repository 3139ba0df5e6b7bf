import { expect, it } from "vitest";
import { motionJson } from "../../electron/commands/motion.ts";
import { readMotion } from "../../electron/commands/motionFile.ts";
import { keptMotion } from "../../src/motion/keptMotion.ts";

it("a clip's motion as `motion --json` prints it, read by `measure --motion`, is what a trial keeps of it", () => {
  const picture = { width: 1280, height: 720 };
  const frame = (by: number) => ({
    ...{ dxPx: by, dyPx: -by, turnDeg: 0.01 * by, scale: 1 + 1e-4 * by },
    map: [1 + 1e-4 * by, -2e-4 * by, by, 2e-4 * by, 1, -by, 1e-8 * by, 3e-8, 1],
    variance: { dxPx: 0.01, dyPx: 0.02, turnDeg: 4e-6, scale: 1e-9 },
  });
  const found = {
    ...{ still: false, noisePx: 0.061, first: 40, picture, warnings: [] },
    frames: [frame(0), frame(1.23456), null, frame(-2.5)],
    bumps: [],
  };
  const read = readMotion(JSON.stringify(motionJson(found)));
  const kept = keptMotion(found, "", found.first, picture);
  expect(read).toEqual(kept);
  // A turn's doubt is its own: not that of the place.
  expect(kept.frames[1]![9]).not.toBe(kept.frames[1]![8]);
});
