import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { TrialReadings } from "../../src/kinematics/types.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { scaleAgainstGates } from "../../src/trials/scaleAgainstGates.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { DEMO_READINGS, demo } from "../helpers/demoReadings.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, type SkaterShape, simulateSkater } from "../helpers/skater.ts";

/*
 * The frames are picked where the forward model's front, so far ahead of its hips, comes to the gates as they truly stand; the
 * ice points are said to be so many times farther along and across than they are.
 */
const FPS = 60;
const GATES: readonly number[] = [15, 21];
const FAR_APART: readonly number[] = [14, 22.5];
const YARDS = 1 / 0.9144;
const FRONT = 0.35;

interface How {
  readonly shape?: Partial<SkaterShape>;
  readonly speedFactor?: number;
  readonly gates?: readonly number[];
}

function study(seed: number, factor: number, { shape = {}, speedFactor = 1, gates = GATES }: How) {
  const skater = simulateSkater({ ...ORDINARY, speed: 7.3, hipHeight: 0.73, wide: 0.5, ...shape });
  const film = { camera: PLACEMENTS.side, fps: FPS, zone: ZONE, noisePx: 1, slips: 0.2, statedSdPx: 1 };
  const { input } = filmedTrial(skater, { ...film, random: seeded(seed) });
  const reference = input.iceReference;
  if (reference?.kind !== "ice-points") throw new Error("filmedTrial gives ice points");
  const points = reference.points.map((p) => ({ ...p, x: p.x * factor, y: p.y * factor }));
  const readings: TrialReadings = measureTrial({ ...input, iceReference: { ...reference, points } });
  const passing = (gate: number) => {
    let frame = 0;
    while (skater.midHip(frame / FPS).x + FRONT < gate) frame++;
    return { gate, frame, time: (frame / FPS) * speedFactor };
  };
  const whole = {
    study: {
      lane: { gates: [0, ...gates, 36], start: "standing", unit: "m" },
      trials: [{ id: "t", speedFactor }],
    },
    marks: {
      t: { picture: { frameInterval: speedFactor / FPS }, gatePassings: gates.map(passing) },
    },
  } as unknown as WholeStudy;
  const readingOf: ReadingOf = () => ({ ok: true, value: readings });
  return scaleAgainstGates(whole, "t", readingOf);
}

const told = (factor: number, how: How = {}) =>
  Array.from({ length: 20 }, (_, seed) => study(seed + 1, factor, how)).filter(
    (warnings) => warnings.length > 0,
  );

describe("the scale along the lane against the gates", () => {
  it("tells places in yards, by how much, in nearly every trial", () => {
    const warnings = told(YARDS).flat();
    expect(warnings.length).toBeGreaterThanOrEqual(16);
    for (const { code, text } of warnings) {
      expect(code).toBe("scale-unlike-gates");
      const [, share, u95] = text.match(/along the lane come out (\d+) ± (\d+) % too long/)!;
      // 1 / 0.9144 is 9.4 % more.
      expect(Math.abs(Number(share) - 9.4)).toBeLessThan(Number(u95) + 1);
    }
  });

  it("tells metres taken for yards, which are too short; yards in a slowed clip too", () => {
    expect(told(0.9144).flat()[0]!.text).toContain("too short");
    expect(told(YARDS, { speedFactor: 4 }).length).toBeGreaterThanOrEqual(16);
  });

  it("tells a tape that is 5 % long where the gates are farther apart", () => {
    expect(told(1.05, { gates: FAR_APART }).length).toBeGreaterThanOrEqual(8);
    expect(told(1, { gates: FAR_APART }).length).toBeLessThanOrEqual(1);
  });

  it.each<[string, Partial<SkaterShape>]>([
    ["a steady sprint", {}],
    ["one that grows faster by 3 m/s²", { travelled: (t) => 5 * t + 1.5 * t * t }],
  ])("is let be where it is right: %s", (_, shape) => {
    expect(told(1, { shape }).length).toBeLessThanOrEqual(1);
  });

  it("is let be in the demo, and where no frames are picked", () => {
    const whole = demo();
    for (const { id } of whole.study.trials)
      expect(scaleAgainstGates(whole, id, DEMO_READINGS), id).toEqual([]);
  });
});
