import { describe, expect, it } from "vitest";
import { measureJson } from "../../src/kinematics/measureJson.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

// Expected names and order: contracts, "measure --json".
const STRIDE_KEYS = [
  "stride",
  "side",
  "blade_off_s",
  "blade_on_s",
  "stride_width_m",
  "blade_separation_m",
  "half_width_m",
  "recovery_to_midline_m",
  "touchdown_to_midline_m",
  "touchdown_to_track_midline_m",
  "stride_rate_hz",
  "stride_length_m",
  "recovery_time_s",
  "arm_swing_direction_deg",
  "arm_swing_angle_deg",
  "arm_picture_angle_deg",
  "along_track_speed_m_s",
];
const TRIAL_KEYS = [
  ...STRIDE_KEYS.slice(4, 13),
  "arm_swing_direction_deg",
  "arm_swing_angle_deg",
  "along_track_speed_m_s",
];

interface Document {
  readonly scale: Record<string, unknown> & { readonly camera: object };
  readonly strides: readonly Record<string, Record<string, unknown>>[];
  readonly trial: Record<string, Record<string, unknown>>;
}

const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8 });
const { input } = filmedTrial(skater, {
  camera: PLACEMENTS.facing,
  fps: 60,
  zone: ZONE,
  noisePx: 1,
  slips: 0,
  random: seeded(2),
  statedSdPx: 1,
});
const json = (changed: object = {}) =>
  JSON.parse(JSON.stringify(measureJson(measureTrial({ ...input, ...changed })))) as Document;

describe("measure --json", () => {
  const document = json();

  it("has the contract's keys in the contract's order", () => {
    expect(Object.keys(document)).toEqual([
      "format",
      "version",
      "scale",
      "strides",
      "trial",
      "warnings",
      "marking",
      "runner_m",
      "sprint_curve",
    ]);
    expect(document).toMatchObject({ format: "blademark.measure", version: 1 });
    expect(Object.keys(document.scale)).toEqual(["kind", "points", "rms_px", "camera", "lens", "warnings"]);
    expect(Object.keys(document.scale.camera)).toEqual([
      "x_m",
      "y_m",
      "height_m",
      "focal_px",
      "u95_focal_px",
    ]);
    for (const stride of document.strides) expect(Object.keys(stride)).toEqual(STRIDE_KEYS);
    expect(Object.keys(document.trial)).toEqual(TRIAL_KEYS);
  });

  it("gives every quantity of every stride a value with u95, or a reason", () => {
    for (const stride of document.strides) {
      for (const key of STRIDE_KEYS.slice(2)) {
        const readings = key.startsWith("arm_") ? Object.values(stride[key]!) : [stride[key]];
        expect(readings).toHaveLength(key.startsWith("arm_") ? 2 : 1);
        for (const reading of readings as Record<string, unknown>[]) {
          if (reading.value === null) expect(String(reading.why).length).toBeGreaterThan(10);
          else expect(reading.u95).toBeGreaterThan(0);
        }
      }
    }
  });

  it("has at_frame with every position and with nothing else", () => {
    const middle = document.strides[2]!;
    const measured = STRIDE_KEYS.slice(2, 13).filter((key) => middle[key]!.value !== null);
    expect(measured.filter((key) => key.endsWith("_m")).length).toBeGreaterThanOrEqual(5);
    expect(measured.filter((key) => !key.endsWith("_m")).length).toBeGreaterThanOrEqual(3);
    for (const key of measured) expect("at_frame" in middle[key]!, key).toBe(key.endsWith("_m"));
  });

  it("gives means with sd, u95 and n", () => {
    const width = document.trial.stride_width_m!;
    expect(Object.keys(width)).toEqual(["mean", "sd", "u95", "n", "left", "right", "left_minus_right"]);
    expect(width.n).toBe(3);
    expect(width.left).toMatchObject({ n: 1 });
    expect(width.right).toMatchObject({ n: 2 });
    const sides = [width.left, width.right] as { mean: number }[];
    expect(width.mean).toBeCloseTo((sides[0]!.mean + sides[1]!.mean) / 2, 12);
  });

  it("says why there is no scale", () => {
    expect(json({ iceReference: null }).scale).toMatchObject({
      value: null,
      why: expect.stringContaining("ice reference"),
    });
  });
});
