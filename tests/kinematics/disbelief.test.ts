import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { MeasureInput, TrialReadings } from "../../src/kinematics/types.ts";
import type { Mark } from "../../src/study/types.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, type Placement, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

/* A value that a warning says not to believe is not shown; what the others are is the forward model's own. */

const skater = simulateSkater({ ...ORDINARY, offSpeed: 0.7, onSpeed: 1.1, hipHeight: 0.77, sway: 0.03 });
const filmed = (placement: Placement, seed = 3) =>
  filmedTrial(skater, {
    ...{ camera: PLACEMENTS[placement], fps: 60, zone: ZONE, noisePx: 1, slips: 0, statedSdPx: 1 },
    random: seeded(seed),
  });
const { input, frames } = filmed("facing");
const times = skater.offs.map((o) => ({ side: o.side, off: o.time, nearest: o.nearestTime, on: o.onTime }));
const POSITIONS = [
  "stride_width_m",
  "blade_separation_m",
  "half_width_m",
  "recovery_to_midline_m",
  "touchdown_to_midline_m",
  "touchdown_to_track_midline_m",
] as const;

const swappedAt = (of: MeasureInput, frame: number): MeasureInput => ({
  ...of,
  marks: of.marks.map(
    (m): Mark => (m.frame === frame ? { ...m, side: m.side === "left" ? "right" : "left" } : m),
  ),
});

function whysOf(readings: TrialReadings, stride: number, code: string): string[] {
  const text = readings.warnings.find((w) => w.code === code)!.text;
  const given = readings.strides[stride - 1]!.readings;
  return Object.entries(given).flatMap(([name, r]) =>
    r.value === null && r.why.includes(text) ? [name] : [],
  );
}

describe.each(["facing", "behind"] as const)(
  "beside a warning that left and right are exchanged in a frame, %s",
  (placement) => {
    const readings = measureTrial(swappedAt(filmed(placement).input, frames[3]!.off));

    it("nothing is shown that rests on that frame's blades, and why is the warning", () => {
      const given = readings.strides[3]!.readings;
      for (const name of ["stride_width_m", "blade_separation_m", "half_width_m"] as const)
        expect(given[name].value, name).toBeNull();
      // The lines of travel and of the strides beside it go through the same blade-off.
      for (const stride of [3, 5])
        expect(whysOf(readings, stride, "blade-on-wrong-side")).toContain("stride_width_m");
    });

    it("everything else is, and is true, and so is the mean", () => {
      let shown = 0;
      readings.strides.forEach(({ readings: given }, k) => {
        if (k === 0 || k === skater.offs.length - 1) return;
        const truth = byDefinition(skater, times, k);
        for (const name of POSITIONS) {
          const reading = given[name];
          if (reading.value === null) continue;
          shown++;
          expect(Math.abs(reading.value - truth[name]), `${name} ${k + 1}`).toBeLessThan(2 * reading.u95);
        }
      });
      expect(shown).toBeGreaterThan(6);
      const width = readings.trial.stride_width_m;
      if (!("mean" in width)) throw new Error(width.why);
      const have = readings.strides.filter((s) => s.readings.stride_width_m.value !== null).length;
      expect(width.n).toBe(have);
      expect(Math.abs(width.mean - byDefinition(skater, times, 2).stride_width_m)).toBeLessThan(width.u95);
    });

    it("pace and instants stay: they rest on no blade", () => {
      for (const { stride, readings: given } of readings.strides.slice(1, -1))
        expect(given.stride_rate_hz.value, `stride ${stride}`).not.toBeNull();
    });
  },
);

describe("beside a warning about the whole trial", () => {
  it("in which places were given in feet no distance is shown", () => {
    const { iceReference } = input;
    if (iceReference?.kind !== "ice-points") throw new Error("filmedTrial gives ice points");
    const points = iceReference.points.map((p) => ({ ...p, x: p.x / 0.3048, y: p.y / 0.3048 }));
    const readings = measureTrial({ ...input, iceReference: { ...iceReference, points }, gates: [17] });
    expect(readings.warnings.map((w) => w.code)).toContain("impossible-distances");
    for (const { readings: given, alongTrackSpeed } of readings.strides) {
      for (const name of [...POSITIONS, "stride_length_m"] as const) expect(given[name].value).toBeNull();
      expect(alongTrackSpeed.value).toBeNull();
    }
    for (const name of [...POSITIONS, "stride_length_m"] as const)
      expect(readings.trial[name]).toMatchObject({ value: null });
    expect(readings.sprint).toMatchObject({ value: null });
    expect(readings.gateSpeeds[0]!.speed.value).toBeNull();
    expect(readings.trial.stride_rate_hz).toHaveProperty("mean");
  });

  it("in which blade-offs and blade-ons are exchanged only the pace is", () => {
    const exchanged = input.events.map((e) => ({
      ...e,
      event: e.event === "blade_off" ? "blade_on" : e.event === "blade_on" ? "blade_off" : e.event,
    })) as MeasureInput["events"];
    const readings = measureTrial({ ...input, events: exchanged });
    expect(readings.warnings.map((w) => w.code)).toContain("pushes-inward");
    expect(readings.trial.stride_width_m).toMatchObject({ value: null });
    expect(readings.trial.recovery_time_s).toMatchObject({ value: null });
    expect(readings.trial.stride_rate_hz).toHaveProperty("mean");
  });

  it("in which the clip's speed is wrong no pace is", () => {
    const readings = measureTrial({ ...input, speedFactor: 2 });
    expect(readings.warnings.map((w) => w.code)).toContain("wrong-pace");
    expect(readings.trial.stride_rate_hz).toMatchObject({ value: null });
    expect(readings.trial.stride_width_m).toHaveProperty("mean");
  });

  it("in which a standing hip height was typed nothing to the hips is, and the widths are", () => {
    const readings = measureTrial({ ...input, body: { hipHeight: 0.98, stature: 1.75 } });
    expect(readings.trial.half_width_m).toMatchObject({ value: null });
    expect(readings.trial.stride_width_m).toHaveProperty("mean");
  });
});
