import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { measureAgain } from "../../src/kinematics/measureAgain.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { MeasureInput, TrialReadings } from "../../src/kinematics/types.ts";
import type { Mark } from "../../src/study/types.ts";
import { FOREARM, filmedArm, swungArm, UPPER_ARM } from "../helpers/arms.ts";
import { denseTrial } from "../helpers/denseTrial.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pannedTrial } from "../helpers/pannedTrial.ts";
import { CAMERA_PLACES, PLACEMENTS, type Placement, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

/*
 * A law, so no expected value is needed: whatever was done to a trial before, its readings are those of the same marks
 * measured for the first time, to the last bit.
 */

const skater = simulateSkater({ ...ORDINARY, strides: 7, speed: 7, startX: 11.8 });
const film = (placement: Placement) => {
  const filming = { camera: PLACEMENTS[placement], fps: 60, zone: ZONE, noisePx: 1, slips: 0, statedSdPx: 1 };
  return { ...filming, random: seeded(5) };
};

function withArms(placement: Placement): MeasureInput {
  const { input } = filmedTrial(skater, film(placement));
  const arm = swungArm(skater, "left", 45, { front: 58, back: 68 }, 60);
  const noise = { px: 1, random: seeded(6) };
  const filmed = filmedArm(arm, "left", PLACEMENTS[placement], CAMERA_PLACES[placement], 60, noise);
  return {
    ...input,
    body: { upperArm: UPPER_ARM, forearm: FOREARM },
    gates: [15, 19],
    marks: [...input.marks, ...filmed.marks],
    events: [...input.events, ...filmed.events],
  };
}

function panned(): MeasureInput {
  return pannedTrial(skater, {
    from: [33, 0.3, 3],
    aimAt: (time) => [12 + 7 * time, 0],
    hfovAt: () => 30,
    ...{ fps: 60, noisePx: 1, statedSdPx: 1, random: seeded(7), keyPoints: 8, framePoints: 4, keyFrames: 3 },
  }).input;
}

const lengths: MeasureInput = {
  ...withArms("facing"),
  iceReference: {
    kind: "known-lengths",
    lengths: [
      { x1Px: 700, y1Px: 520, x2Px: 1200, y2Px: 521, length: 3 },
      { x1Px: 500, y1Px: 820, x2Px: 1400, y2Px: 822, length: 3 },
    ],
  },
};

/** One thing a person might do to a trial. */
function edited(input: MeasureInput, first: MeasureInput, random: () => number): MeasureInput {
  const { marks } = input;
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
  const but = (old: Mark, ...put: Mark[]) => ({
    ...input,
    marks: [...marks.filter((m) => m !== old), ...put],
  });
  const kind = random();
  const mark = pick(marks);
  if (kind < 0.45)
    return but(mark, { ...mark, xPx: mark.xPx + 6 * (random() - 0.5), yPx: mark.yPx + 6 * (random() - 0.5) });
  if (kind < 0.6) return but(mark);
  if (kind < 0.7) {
    const gone = first.marks.filter((m) => !marks.some((n) => isSamePoint(m, n)));
    return gone.length === 0 ? input : { ...input, marks: [...marks, pick(gone)] };
  }
  // Beside an event, where a speed is taken from it; or far above the horizon; or again, so that the marking SD may change.
  const shifted = { ...mark, frame: mark.frame + pick([-3, -2, -1, 1, 2, 3]) };
  if (kind < 0.8 && !marks.some((n) => isSamePoint(shifted, n)))
    return { ...input, marks: [...marks, { ...shifted, time: shifted.frame / 60 }] };
  if (kind < 0.85) return but(mark, { ...mark, yPx: 3 });
  if (kind < 0.9)
    return { ...input, marks: [...marks, { ...mark, pass: 1 + random(), xPx: mark.xPx + random() }] };
  if (kind < 0.93) return { ...input, marks: marks.filter((m) => m.frame !== mark.frame) };
  if (kind < 0.95) return { ...input, events: input.events.filter((e) => e !== pick(input.events)) };
  if (kind < 0.97) return { ...input, body: { ...input.body, hipHeight: 0.7 + 0.2 * random() } };
  if (kind < 0.98) return { ...input, markSdPx: 0.5 + random() };
  return first;
}

function isSamePoint(a: Mark, b: Mark): boolean {
  return a.frame === b.frame && a.side === b.side && a.point === b.point && a.pass === b.pass;
}

function attempt(measure: () => TrialReadings): TrialReadings | string {
  try {
    return measure();
  } catch (error) {
    if (error instanceof MeasureError) return error.message;
    throw error;
  }
}

describe("a trial measured again after its marks have moved", () => {
  const cases: readonly (readonly [string, MeasureInput])[] = [
    ["facing, with arms", withArms("facing")],
    ["diagonal, with arms", withArms("diagonal")],
    ["from the side, both blades in every frame", denseTrial(skater, film("side")).dense],
    ["behind, both blades in every frame", denseTrial(skater, film("behind")).dense],
    ["a panning camera", panned()],
    ["known lengths", lengths],
  ];

  it.each(cases)(
    "%s: is the same to the last bit",
    (_, first) => {
      const random = seeded(11);
      const again = measureAgain();
      let input = first;
      for (let step = 0; step < 60; step++) {
        expect(attempt(() => again(input))).toStrictEqual(attempt(() => measureTrial(input)));
        const edits = random() < 0.8 ? 1 : 3;
        for (let k = 0; k < edits; k++) input = edited(input, first, random);
      }
    },
    60_000,
  );

  it("keeps the strides that rest on no mark that moved", () => {
    const again = measureAgain();
    const first = withArms("facing");
    const before = again(first).strides;
    const { frame } = first.events.find((e) => e.event === "blade_off")!;
    const moved = first.marks.map((m) => (m.frame === frame ? { ...m, xPx: m.xPx + 0.1 } : m));
    const after = again({ ...first, marks: moved }).strides;
    expect(after[0]).not.toBe(before[0]);
    expect(after.filter((stride, k) => stride === before[k]).length).toBeGreaterThanOrEqual(3);
  });
});
