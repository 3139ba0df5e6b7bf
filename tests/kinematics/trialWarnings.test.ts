import { describe, expect, it } from "vitest";
import type { TrialGeometry } from "../../src/kinematics/trial/trialGeometry.ts";
import type { Stride } from "../../src/kinematics/types.ts";
import { trialWarnings } from "../../src/kinematics/warnings/trialWarnings.ts";
import type { Reading } from "../../src/reading.ts";

const NONE: Reading = { value: null, why: "not given" };
const geometry = { inUse: () => [], strides: [] } as unknown as TrialGeometry;

function stride(nearest: Reading, down: Reading): Stride {
  const readings = {
    stride_width_m: NONE,
    blade_separation_m: NONE,
    touchdown_to_track_midline_m: NONE,
    stride_length_m: NONE,
    stride_rate_hz: NONE,
    recovery_to_midline_m: nearest,
    touchdown_to_midline_m: down,
  };
  return { stride: 4, side: "left", readings } as unknown as Stride;
}

const codes = (nearest: Reading, down: Reading) =>
  trialWarnings(geometry, [stride(nearest, down)]).map((w) => w.code);

describe("a recovery that is nearer the midline where it comes down than at its nearest", () => {
  it("is asked about, with both numbers and the stride", () => {
    const [said] = trialWarnings(geometry, [
      stride({ value: 0.408, u95: 0.025 }, { value: 0.265, u95: 0.032 }),
    ]);
    expect(said).toMatchObject({
      code: "not-nearest",
      text: expect.stringMatching(/stride 4.*41 cm.*27 cm/),
    });
  });

  it("is no matter within what both are known to, the right way round, or where one is not measured", () => {
    expect(codes({ value: 0.3, u95: 0.03 }, { value: 0.265, u95: 0.03 })).toEqual([]);
    expect(codes({ value: 0.02, u95: 0.03 }, { value: 0.265, u95: 0.03 })).toEqual([]);
    expect(codes(NONE, { value: 0.265, u95: 0.03 })).toEqual([]);
  });
});
