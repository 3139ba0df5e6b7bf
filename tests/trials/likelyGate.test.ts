import { expect, it } from "vitest";
import { likelyGate } from "../../src/trials/likelyGate.ts";
import { truths } from "../demo/demoFiles.ts";
import { DEMO_READINGS, demo } from "../helpers/demoReadings.ts";

const { study } = demo();

// The generator's own gate times, from the figure and not from any mark: nobody needs to step for more than a quarter second.
const CLIPS = truths().filter((t) => study.trials.some((s) => s.clip && t.clip.startsWith(s.clip)));

it.each(CLIPS.map((t) => [t.clip, t] as const))(
  "a gate's frame in %s is found to a quarter second",
  (_, truth) => {
    const trial = study.trials.find((t) => t.clip && truth.clip.startsWith(t.clip))!;
    const reading = DEMO_READINGS(trial.id);
    if (!reading.ok || reading.value.places.length === 0)
      return expect(truth.clip).toMatch(/signe-open-1|wren/);
    const times = Array.from({ length: truth.frames }, (_, n) => n / truth.fps_claimed);
    for (const gate of truth.gates) {
      const found = likelyGate(gate.x_m, reading.value.places, {
        ...{ times, speedFactor: truth.speed_factor, start: study.lane.start },
      });
      if (gate.frame === null) {
        expect(found, "the clip does not show it").toBeNull();
        continue;
      }
      expect(found, `gate at ${gate.x_m} m`).not.toBeNull();
      const late = (times[found!]! - gate.clip_s!) / truth.speed_factor;
      expect(Math.abs(late)).toBeLessThan(0.25);
    }
  },
);

it("is not told where nothing is marked, or where it would be before the clip", () => {
  expect(likelyGate(0, [], { times: [0, 0.1, 0.2], speedFactor: 1, start: "flying" })).toBeNull();
  const places = [0, 1, 2].map((frame) => ({
    ...{ frame, side: null, point: "mid_hip" as const, x: 10 + 0.8 * frame, y: 0, z: 0.9 },
  }));
  const times = [0, 0.1, 0.2, 0.3];
  expect(likelyGate(5, places as never, { times, speedFactor: 1, start: "flying" })).toBeNull();
  expect(likelyGate(12.7, places as never, { times, speedFactor: 1, start: "flying" })).toBe(3);
});
