import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { bladeTracks } from "../../src/kinematics/tracks/bladeTracks.ts";
import { proposeEvents } from "../../src/kinematics/tracks/proposeEvents.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import { changePoint } from "../../src/marks/changePoint.ts";
import { reckonedSds } from "../../src/marks/markSds.ts";
import { MarkTable } from "../../src/marks/markTable.ts";
import { smoothTrack } from "../../src/marks/smoothTrack.ts";
import { Sources } from "../../src/uncertainty/uncertain.ts";
import { denseTrial } from "../helpers/denseTrial.ts";
import { PLACEMENTS, type Placement, ZONE } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8, skim: 0.002 });

function filmed(placement: Placement, seed = 1, noisePx = 1) {
  return denseTrial(skater, {
    ...{ camera: PLACEMENTS[placement], fps: 60, zone: ZONE, noisePx, slips: 0 },
    ...{ random: seeded(seed), statedSdPx: 1 },
  });
}

function proposals(input: MeasureInput) {
  if (!input.iceReference) throw new Error("ice reference expected");
  const ground = fitScale(input.iceReference, input.picture, 1, undefined).ground(new Sources());
  const tracks = bladeTracks(input.marks, new MarkTable(input.marks, reckonedSds(null, 1, false)), ground, 1);
  if (!tracks) throw new Error("tracks expected");
  return proposeEvents(tracks);
}

describe("dense marking of whole tracks", () => {
  it.each(["facing", "diagonal", "side"] as const)(
    "gives what sparse marking gives, seen from %s",
    (placement) => {
      const { sparse, dense } = filmed(placement);
      const [few, many] = [measureTrial(sparse), measureTrial(dense)];
      const positions = ["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m"] as const;
      let compared = 0;
      many.strides.forEach((stride, k) => {
        for (const quantity of positions) {
          const [a, b] = [stride.readings[quantity], few.strides[k]!.readings[quantity]];
          if (a.value === null || b.value === null) continue;
          expect(a.atFrame).toBeCloseTo(b.atFrame!, 9);
          // The speed at the event is now measured: a value that moves within what was doubted, and no wider.
          expect(Math.abs(a.value - b.value)).toBeLessThan(b.u95);
          // … but for a blade found to be faster than was thought, whose event time then matters more.
          expect(a.u95).toBeLessThan(1.08 * b.u95);
          compared++;
        }
        expect(stride.readings.stride_rate_hz).toEqual(few.strides[k]!.readings.stride_rate_hz);
      });
      expect(compared).toBeGreaterThan(6);
    },
  );

  it("needs the right frames picked: a true trial has no warnings, one event five frames off has one", () => {
    for (const placement of ["facing", "behind", "side"] as const) {
      for (const seed of [1, 2, 3]) {
        const { dense, frames } = filmed(placement, seed);
        const codes = (input: MeasureInput) =>
          measureTrial(input).warnings.filter((w) => w.code === "event-against-track");
        expect(codes(dense)).toEqual([]);
        const { off } = frames[2]!;
        // docs/precision.md 6: the lateral maximum must lie in −30 … +50 ms, the bend within 40 ms; 8 frames are 133 ms
        const late = dense.events.map((e) =>
          e.event === "blade_off" && e.frame === off ? { ...e, frame: off - 7, time: (off - 7) / 60 } : e,
        );
        const [warning] = codes({ ...dense, events: late });
        if (placement === "side") continue; // a bend is not always clear enough to contradict
        expect(warning?.text).toContain(`frame ${off - 7}`);
      }
    }
  });
});

describe("event frames proposed from tracks", () => {
  it.each(["facing", "behind"] as const)(
    "from %s: every blade-off within 50 ms, and no blade-on",
    (placement) => {
      for (const seed of [1, 2, 3, 4]) {
        const { dense } = filmed(placement, seed);
        const found = proposals(dense);
        const offs = found.filter((p) => p.event === "blade_off");
        // The first and the last may lie too near the track's end to be seen as extremes.
        for (const { side, time } of skater.offs.slice(1, 4)) {
          const near = offs.filter((p) => p.side === side && Math.abs(p.seconds - time) < 0.05);
          expect(near).toHaveLength(1);
          expect(near[0]!.sdSeconds).toBeGreaterThanOrEqual(0.015);
        }
        expect(found.every((p) => p.event === "blade_off" || p.event === "recovery_min")).toBe(true);
      }
    },
  );

  it("suggests nothing from sparse marks", () => {
    expect(proposals(filmed("facing").sparse)).toEqual([]);
  });
});

describe("a bend common to several coordinates", () => {
  const times = Array.from({ length: 20 }, (_, k) => 1 + k / 60);
  const bent = (at: number, noise: () => number) =>
    [3, -5, 1].map((c) => times.map((t) => 40 * t + c * 900 * Math.max(0, t - at) ** 2 + noise()));

  it("is found where it is, exactly without noise", () => {
    const found = changePoint({ times, values: bent(1.15, () => 0) }, 1.05, 1.25)!;
    expect(found.time).toBeCloseTo(1.15, 3); // the search goes by 2 ms
    expect(found.explained).toBeGreaterThan(0.999);
  });

  it("explains little where there is only noise", () => {
    const random = seeded(4);
    const noise = [1, 2, 3, 4].map(() => times.map(() => normal(random)));
    expect(changePoint({ times, values: noise }, 1.05, 1.25)!.explained).toBeLessThan(0.5);
  });

  it("needs eight samples", () => {
    expect(changePoint({ times: times.slice(0, 7), values: [times.slice(0, 7)] }, 1, 1.1)).toBeNull();
  });
});

describe("smoothing a track", () => {
  const path = (t: number) => 600 + 200 * t + 40 * Math.sin(2 * Math.PI * 1.5 * t);

  it("takes noise away, in uneven frame times and over a missed frame", () => {
    const random = seeded(12);
    // Phones: frames come up to 3 ms early or late, and one is missing.
    const times = Array.from({ length: 120 }, (_, k) => k / 60 + 0.003 * (random() - 0.5)).filter(
      (_, k) => k !== 57,
    );
    const { values, cutoff } = smoothTrack(
      times,
      times.map((t) => path(t) + 2 * normal(random)),
    );
    const errors = times.map((t, k) => values[k]! - path(t)).slice(6, -6);
    const rms = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
    // White noise through a low-pass at 4 to 12 of 30 Hz keeps about √(1.1 cutoff / 30) of its SD
    expect(rms).toBeLessThan(2 * Math.sqrt((1.3 * cutoff) / 30));
    expect(cutoff).toBeGreaterThanOrEqual(4);
    expect(cutoff).toBeLessThanOrEqual(12);
  });

  it("is no later than the track itself", () => {
    const times = Array.from({ length: 90 }, (_, k) => k / 60);
    const { values } = smoothTrack(times, times.map(path), 6);
    const lag = values.slice(10, -10).reduce((sum, v, k) => sum + (v - path(times[k + 10]!)), 0) / 70;
    expect(Math.abs(lag)).toBeLessThan(0.05); // one frame later would be 200/60 = 3.3 px
  });

  it("refuses a track too short, saying how many frames it takes", () => {
    expect(() => smoothTrack([0, 0.1, 0.2], [1, 2, 3])).toThrow(/more than 9/);
  });
});
