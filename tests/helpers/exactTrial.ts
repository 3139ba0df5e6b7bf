import { filmedTrial } from "./filmedTrial.ts";
import { PLACEMENTS, ZONE } from "./placements.ts";
import { seeded } from "./random.ts";
import { ORDINARY, simulateSkater } from "./skater.ts";

/** Metres a second, along the lane. */
export const SPEED = 7;

/** Five strides of a simulated skater, filmed from the front at 60 frames a second, marked without a slip or noise. */
export const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: SPEED, startX: 11.8 });
export const camera = PLACEMENTS.facing;
export const { input, frames } = filmedTrial(skater, {
  ...{ camera, fps: 60, zone: ZONE, noisePx: 0, slips: 0, statedSdPx: 1 },
  random: seeded(1),
});
