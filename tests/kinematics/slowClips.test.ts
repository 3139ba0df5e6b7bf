import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

/** Share of recoveries whose interval holds the truth at the moment of nearest itself, over 80 skaters out of step with the frames. */
function held(fps: number): number {
  const hits: boolean[] = [];
  for (let seed = 1; seed <= 80; seed++) {
    const random = seeded(seed);
    const skater = simulateSkater({ ...ORDINARY, strides: 5, period: 0.3 + 0.06 * random(), startX: 11.8 });
    const { input } = filmedTrial(skater, {
      camera: PLACEMENTS.facing,
      fps,
      zone: ZONE,
      noisePx: 1,
      slips: 0.2,
      random,
      statedSdPx: 1,
    });
    const times = skater.offs.map((o) => ({
      side: o.side,
      off: o.time,
      nearest: o.nearestTime,
      on: o.onTime,
    }));
    const { strides } = measureTrial(input);
    for (const k of [1, 2, 3]) {
      const reading = strides[k]!.readings.recovery_to_midline_m;
      const truth = byDefinition(skater, times, k).recovery_to_midline_m;
      if (reading.value !== null) hits.push(Math.abs(reading.value - truth) <= reading.u95);
    }
  }
  expect(hits.length).toBeGreaterThan(200);
  return hits.filter((hit) => hit).length / hits.length;
}

describe("the recovering blade nearest the midline, which no frame shows just then", () => {
  // Without the doubt between frames it is in 73 of 100 at 15 Hz, and in 83 at 20 Hz.
  it.each([15, 20, 25, 60])("lies within its interval in 90 of 100 strides or more: %d Hz", (fps) => {
    expect(held(fps)).toBeGreaterThanOrEqual(0.9);
  });
});
