import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { Reading } from "../../src/reading.ts";
import type { KnownLength } from "../../src/study/types.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { type Pinhole, pinhole } from "../helpers/pinhole.ts";
import { ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

// Expected values: the simulated skater by docs/definitions.md; what lengths are worth: docs/precision.md 3.
export const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8, startY: 0.4 });
export const alongAxis = pinhole([33, 0, 3], [18, 0], 65);

/** A 3 m bar across the lane at x. */
export function bar(camera: Pinhole, x: number, length = 3): KnownLength {
  const [left, right] = [camera.see(x, length / 2, 0), camera.see(x, -length / 2, 0)];
  return { x1Px: left.xPx, y1Px: left.yPx, x2Px: right.xPx, y2Px: right.yPx, length };
}

export function measure(camera: Pinhole, lengths: readonly KnownLength[]) {
  const film = { camera, fps: 60, zone: ZONE, noisePx: 0, slips: 0, random: seeded(1), statedSdPx: 1 };
  const { input, frames } = filmedTrial(skater, film);
  const readings = measureTrial({ ...input, iceReference: { kind: "known-lengths", lengths } });
  const atFrames = frames.map((f) => ({
    side: f.side,
    off: f.off / 60,
    nearest: f.nearest / 60,
    on: f.on / 60,
  }));
  return { readings, truth: (k: number) => byDefinition(skater, atFrames, k) };
}

export function atFrame(reading: Reading) {
  if (reading.value === null) throw new Error(reading.why);
  return reading.atFrame!;
}
