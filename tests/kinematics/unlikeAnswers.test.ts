import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { EventFrame } from "../../src/study/types.ts";
import { FOREARM, filmedArm, swungArm, UPPER_ARM } from "../helpers/arms.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { CAMERA_PLACES, PLACEMENTS, type Placement, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

// Expected values: the simulated arm's own points (tests/helpers/arms.ts), no code of src. It swings otherwise each time.
const skater = simulateSkater({ ...ORDINARY, strides: 7, speed: 7, startX: 11.8, hipHeight: 0.74 });
const SWINGS = [
  { front: 34, back: 48, turn: 6 },
  { front: 62, back: 76, turn: -7 },
  { front: 90, back: 104, turn: 3 },
];

function measured(
  view: Placement,
  directionDeg: number,
  seed: number,
  options: { readonly swings?: number; readonly events?: (e: EventFrame) => EventFrame } = {},
) {
  const { swings = 3, events = (e) => e } = options;
  const random = seeded(seed);
  const camera = PLACEMENTS[view];
  const film = { camera, fps: 60, zone: ZONE, noisePx: 1, slips: 0, random, statedSdPx: 1 };
  const { input } = filmedTrial(skater, film);
  const arms = SWINGS.slice(0, swings).map(({ front, back, turn }) => {
    const arm = swungArm(skater, "left", directionDeg + turn, { front, back }, 60);
    return filmedArm(arm, "left", camera, CAMERA_PLACES[view], 60, { px: 1, random });
  });
  return measureTrial({
    ...input,
    body: { upperArm: UPPER_ARM, forearm: FOREARM },
    marks: [...input.marks, ...arms.flatMap((a) => a.marks)],
    events: [...input.events, ...arms.flatMap((a) => a.events).map(events)],
  });
}

const odd = (readings: ReturnType<typeof measureTrial>) =>
  readings.warnings.filter((w) => w.code === "arm-answer-unlike");
const elbowTurned = (frame: number) => (e: EventFrame) =>
  e.frame === frame && e.event.startsWith("arm") ? { ...e, elbowTowardCamera: !e.elbowTowardCamera } : e;

describe("one answer that swings an arm as it swings in no other stride", () => {
  it.each([1, 2, 3])(
    "is told with joint and frame, and the swings that rest on it are not shown (%i)",
    (seed) => {
      // Fore and aft, seen along the travel: the upper arm points at the camera or away from it.
      const readings = measured("facing", 0, seed, { events: elbowTurned(76) });
      const [said, ...more] = odd(readings);
      expect(more).toEqual([]);
      expect(said!.text).toMatch(/frame 76 the left elbow .* upper arm /);
      const resting = readings.strides.filter(
        ({ armSwingAngleDeg: { left } }) => left.value === null && left.why.includes(said!.text),
      );
      expect(resting.length).toBeGreaterThan(0);
      for (const { armSwingDirectionDeg } of resting) expect(armSwingDirectionDeg.left.value).toBeNull();
      // What is left is true: the swing in space has this angle whatever its direction.
      const { angleDeg } = swungArm(skater, "left", 0, SWINGS[0]!, 60).truth;
      let shown = 0;
      for (const {
        armSwingAngleDeg: { left },
      } of readings.strides) {
        if (left.value === null) continue;
        shown++;
        expect(Math.abs(left.value - angleDeg)).toBeLessThan(2 * left.u95);
      }
      expect(shown).toBeGreaterThan(0);
      const mean = readings.arms.angleDeg.left;
      if ("mean" in mean) expect(Math.abs(mean.mean - angleDeg)).toBeLessThan(2 * mean.u95);
    },
  );

  it("of two, neither is believed", () => {
    const readings = measured("facing", 0, 4, { swings: 2, events: elbowTurned(62) });
    expect(odd(readings).map((w) => w.text.match(/frame \d+ the left \w+/)![0])).toEqual([
      "frame 34 the left elbow",
      "frame 62 the left elbow",
    ]);
    for (const { armSwingAngleDeg } of readings.strides) expect(armSwingAngleDeg.left.value).toBeNull();
  });

  it("is not seen in answers as they are, from any side, whichever way the arm swings", () => {
    for (const view of Object.keys(PLACEMENTS) as Placement[])
      for (const direction of [0, 45, 90])
        for (const seed of [5, 6, 7])
          expect(odd(measured(view, direction, seed)), `${view} ${direction} ${seed}`).toEqual([]);
  });
});
