import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import type { Mark } from "../../src/study/types.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, type Placement, ZONE } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";
import { ORDINARY, type SkaterShape, simulateSkater } from "../helpers/skater.ts";

/*
 * A law of motion is the outside check: the forward model's skater moves on steadily, so marks of another frame's picture lie
 * as far along the lane as it went meanwhile.
 */

const FPS = 60;
const VIEWS = Object.keys(PLACEMENTS) as Placement[];
const skaterOf = (seed: number, shape: Partial<SkaterShape> = {}) =>
  simulateSkater({
    ...ORDINARY,
    ...{ offSpeed: 0.6, onSpeed: 1.1, hipHeight: 0.75, skim: 0.004 },
    vary: (n) => 0.04 * Math.sin(12.9898 * (n + seed)),
    ...shape,
  });

function film(seed: number, view: Placement, shape?: Partial<SkaterShape>) {
  const skater = skaterOf(seed, shape);
  const filming = { camera: PLACEMENTS[view], fps: FPS, zone: ZONE, noisePx: 1, slips: 0.2, statedSdPx: 1 };
  return { skater, ...filmedTrial(skater, { ...filming, random: seeded(seed) }) };
}

/** Both blades of one frame as they are seen so many frames later. */
function late({ skater, input }: ReturnType<typeof film>, view: Placement, frame: number, by: number) {
  const random = seeded(frame);
  const again = (m: Mark): Mark => {
    if (m.frame !== frame || (m.point !== "blade_heel" && m.point !== "blade_toe")) return m;
    const end = m.point === "blade_heel" ? skater.heel : skater.toe;
    const at = end(m.side, (frame + by) / FPS);
    const seen = PLACEMENTS[view].see(at.x, at.y, at.z);
    return { ...m, xPx: seen.xPx + normal(random), yPx: seen.yPx + normal(random) };
  };
  return { ...input, marks: input.marks.map(again) };
}

const said = (input: MeasureInput, code: string) =>
  measureTrial(input).warnings.filter((w) => w.code === code);

describe("blades marked in the picture of another frame", () => {
  it.each(VIEWS)("five frames late at one blade-off are told, with stride, frame and how far: %s", (view) => {
    for (const seed of [1, 2, 3, 4]) {
      const filmed = film(seed, view);
      const { off } = filmed.frames[3]!;
      const warnings = said(late(filmed, view, off, 5), "blade-out-of-place");
      expect(warnings).toHaveLength(1);
      const [, cm, frames] = warnings[0]!.text.match(
        /stride 4 .*lie (\d+) cm ahead .*put (\d+) frames later/,
      )!;
      expect(warnings[0]!.text).toContain(`frame ${off}`);
      // 8 m/s over five frames; where in the picture depth can be read at all.
      expect(Math.abs(Number(cm) - (100 * (8 * 5)) / FPS)).toBeLessThan(view === "side" ? 12 : 25);
      expect(Math.abs(Number(frames) - 5)).toBeLessThanOrEqual(view === "side" ? 1 : 2);
    }
  });

  it("too early are behind; at a blade-on they are told too", () => {
    const filmed = film(5, "side");
    const { off, on } = filmed.frames[2]!;
    expect(said(late(filmed, "side", off, -5), "blade-out-of-place")[0]!.text).toMatch(
      /behind .*frames earlier/,
    );
    expect(said(late(filmed, "side", on, 5), "blade-out-of-place")[0]!.text).toContain(`frame ${on}`);
  });

  it("are not shown in any value, and the others are true", () => {
    const filmed = film(6, "diagonal");
    const { strides } = measureTrial(late(filmed, "diagonal", filmed.frames[3]!.off, 5));
    const { skater } = filmed;
    const times = skater.offs.map((o) => ({
      side: o.side,
      off: o.time,
      nearest: o.nearestTime,
      on: o.onTime,
    }));
    expect(strides[3]!.readings.stride_length_m.value).toBeNull();
    expect(strides[4]!.readings.stride_length_m.value).toBeNull();
    let shown = 0;
    for (const k of [1, 2, 3, 4, 5]) {
      const truth = byDefinition(skater, times, k);
      for (const name of ["stride_width_m", "stride_length_m", "touchdown_to_track_midline_m"] as const) {
        const reading = strides[k]!.readings[name];
        if (reading.value === null) continue;
        shown++;
        expect(Math.abs(reading.value - truth[name]), `${name} ${k + 1}`).toBeLessThan(2 * reading.u95);
      }
    }
    expect(shown).toBeGreaterThan(3);
  });

  it.each<[string, Partial<SkaterShape>]>([
    ["an ordinary sprint", {}],
    ["a start from rest", { travelled: (t) => 9 * (t - 1.2 + 1.2 * Math.exp(-t / 1.2)), startX: 12.6 }],
    ["long glides", { period: 0.8, speed: 3, recovery: 0.35 }],
    ["a weave of half a metre", { weave: 0.5 }],
  ])("are not seen in %s", (_, shape) => {
    for (const view of VIEWS)
      for (let seed = 1; seed <= 10; seed++)
        expect(said(film(seed, view, shape).input, "blade-out-of-place"), `${view} ${seed}`).toEqual([]);
  });
});

describe("heel and toe exchanged", () => {
  const turned = (input: MeasureInput, frames?: readonly number[]): MeasureInput => ({
    ...input,
    marks: input.marks.map((m): Mark => {
      if (frames && !frames.includes(m.frame)) return m;
      if (m.point === "blade_heel") return { ...m, point: "blade_toe" };
      return m.point === "blade_toe" ? { ...m, point: "blade_heel" } : m;
    }),
  });

  it.each(VIEWS)("in every frame is said once: %s", (view) => {
    for (const seed of [1, 2, 3]) {
      const warnings = said(turned(film(seed, view).input), "heel-toe-exchanged");
      expect(warnings.map((w) => w.text)).toEqual([expect.stringContaining("every frame")]);
    }
  });

  it.each(["side", "diagonal"] as const)("in one frame is said of that frame: %s", (view) => {
    const filmed = film(4, view);
    const { off } = filmed.frames[3]!;
    const warnings = said(turned(filmed.input, [off]), "heel-toe-exchanged");
    expect(warnings.length).toBeGreaterThan(0);
    for (const { text } of warnings) expect(text).toContain(`frame ${off}`);
  });

  it("leaves the middle of the blade as it is; how fast it moves outward is seen but for which end is ahead", () => {
    const { input } = film(5, "behind");
    const widths = [input, turned(input)].map((i) =>
      measureTrial(i).strides.map((stride) => stride.readings.stride_width_m),
    );
    expect(widths[1]!.map((w) => w.value === null)).toEqual(widths[0]!.map((w) => w.value === null));
    for (const [k, a] of widths[0]!.entries()) {
      const b = widths[1]![k]!;
      if (a.value === null || b.value === null) continue;
      expect(b.atFrame).toBeCloseTo(a.atFrame!, 9);
      expect(Math.abs(b.value - a.value)).toBeLessThan(a.u95 / 4);
    }
  });

  it("is not said of marks as they are, from any side", () => {
    for (const view of VIEWS)
      for (let seed = 1; seed <= 10; seed++)
        expect(said(film(seed, view).input, "heel-toe-exchanged"), `${view} ${seed}`).toEqual([]);
  });
});
