import { gateTimeFromFrames } from "../../src/trials/gateTime.ts";
import { normal } from "./random.ts";

export interface Camera {
  /** Frames a second. */
  readonly rate: number;
  readonly start: "standing" | "flying";
}

/**
 * SD of which part of the skater leads at either gate, both together, seconds: what docs/precision.md 7 leaves beside the frames
 * (a step over the root of 6) at 60, 120 and 240 frames a second, to its rounding.
 */
const LEADS = { flying: 0.0031, standing: 0.0126 };

/** What somebody reads from a clip of a trial of known time: the first frame at or past each gate, in a camera that starts anywhen. */
export function byClip(time: number, { rate, start }: Camera, random: () => number) {
  const from = 1 + random() / rate;
  const to = from + time + LEADS[start] * normal(random);
  const [first, last] = [from, to].map((t) => Math.ceil(t * rate)) as [number, number];
  const passing = (gate: number, frame: number) => ({ gate, frame, time: frame / rate });
  const timing = { frameInterval: 1 / rate, speedFactor: 1 };
  const found = gateTimeFromFrames([passing(0, first), passing(30, last)], [0, 30], timing, start);
  if (found.value === null) throw new Error(found.why);
  return { value: found.value, clipSd: found.sd };
}
