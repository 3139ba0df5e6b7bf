import { describe, expect, it } from "vitest";
import { judge } from "../judge.ts";
import { filmPan } from "./filmPan.ts";
import { paintedMotion } from "./paintedPan.ts";
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
