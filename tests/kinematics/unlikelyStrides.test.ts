import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import type { Mark } from "../../src/study/types.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, type Placement } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, type SkaterShape, simulateSkater } from "../helpers/skater.ts";

const NEW = [
  "pushes-inward",
  "width-stands-out",
  "wrong-pace",
  "impossible-distances",
  "blade-on-wrong-side",
];
type Frames = ReturnType<typeof filmedTrial>["frames"];

/** The new warnings in ten trials marked to 1 px, one frame in five off by one, and how many trials say them. */
function said(
  placement: Placement,
  change: (input: MeasureInput, frames: Frames) => MeasureInput = (input) => input,
  shape: Partial<SkaterShape> = {},
): Record<string, number> {
  const counts: Record<string, number> = {};
  for (let seed = 1; seed <= 10; seed++) {
    const vary = (n: number) => 0.04 * Math.sin(12.9898 * (n + seed));
    const { input, frames } = filmedTrial(simulateSkater({ ...ORDINARY, vary, skim: 0.004, ...shape }), {
      camera: PLACEMENTS[placement],
      fps: 60,
      zone: [12.6, 23.4],
      noisePx: 1,
      slips: 0.2,
      random: seeded(seed),
      statedSdPx: 1,
    });
    const codes = new Set(measureTrial(change(input, frames)).warnings.map((w) => w.code));
    for (const code of codes) if (NEW.includes(code)) counts[code] = (counts[code] ?? 0) + 1;
  }
  return counts;
}

const otherSide = (mark: Mark): Mark => ({ ...mark, side: mark.side === "left" ? "right" : "left" });

describe("strides no skater makes", () => {
  it.each<[string, Partial<SkaterShape>]>([
    ["an ordinary sprint", {}],
    ["an open recovery", { landing: 0.3 }],
    ["a crossing one", { landing: -0.25 }],
    ["a start from rest", { travelled: (t) => 1.2 * t * t + 1, startX: 12.6, wide: 0.35, landing: 0.25 }],
    ["long glides", { period: 0.8, speed: 3, recovery: 0.35 }],
    ["a weave of half a metre", { weave: 0.5 }],
  ])("are not seen in %s", (_, shape) => {
    for (const placement of Object.keys(PLACEMENTS) as Placement[])
      expect(said(placement, undefined, shape)).toEqual({});
  });

  it("are seen where blade-offs and blade-ons have changed places", () => {
    const exchanged = (input: MeasureInput): MeasureInput => ({
      ...input,
      events: input.events.map((e) => ({
        ...e,
        event: e.event === "blade_off" ? "blade_on" : e.event === "blade_on" ? "blade_off" : e.event,
      })),
    });
    for (const placement of Object.keys(PLACEMENTS) as Placement[])
      expect(said(placement, exchanged)).toEqual({ "pushes-inward": 10 });
  });

  it("are seen where one blade-off has left and right swapped, or only the wrong blade", () => {
    const swapped = (input: MeasureInput, frames: Frames): MeasureInput => ({
      ...input,
      marks: input.marks.map((m) => (m.frame === frames[3]!.off ? otherSide(m) : m)),
    });
    const wrongOne = (input: MeasureInput, frames: Frames): MeasureInput => {
      const { off, side } = frames[3]!;
      const kept = input.marks.filter((m) => m.frame !== off || m.side !== side);
      return { ...input, marks: kept.map((m) => (m.frame === off ? otherSide(m) : m)) };
    };
    for (const placement of ["behind", "diagonal"] as const) {
      expect(said(placement, swapped)).toEqual({ "blade-on-wrong-side": 10, "width-stands-out": 10 });
      expect(said(placement, wrongOne)).toEqual({ "width-stands-out": 10 });
    }
  });

  it("are seen where the clip is taken to play at twice or an eighth of its speed", () => {
    for (const speedFactor of [2, 1 / 8])
      expect(said("facing", (input) => ({ ...input, speedFactor }))).toEqual({ "wrong-pace": 10 });
  });

  it("are seen where ice points are in feet, along one axis or both", () => {
    const feet = (alongX: number, alongY: number) => (input: MeasureInput) => {
      const { iceReference } = input;
      if (iceReference?.kind !== "ice-points") throw new Error("filmedTrial gives ice points");
      const points = iceReference.points.map((p) => ({ ...p, x: p.x / alongX, y: p.y / alongY }));
      return { ...input, iceReference: { ...iceReference, points } };
    };
    for (const placement of Object.keys(PLACEMENTS) as Placement[])
      for (const [x, y] of [
        [0.3048, 1],
        [1, 0.3048],
        [0.3048, 0.3048],
      ] as const)
        expect(said(placement, feet(x, y))).toMatchObject({ "impossible-distances": 10 });
  });
});
