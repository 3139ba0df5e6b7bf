import { describe, expect, it } from "vitest";
import { writeEventsCsv, writeIcePointFramesCsv, writeMarksCsv } from "../../src/study/tables.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { frames, input, SPEED, skater } from "../helpers/exactTrial.ts";
import { pannedTrial } from "../helpers/pannedTrial.ts";
import { seeded } from "../helpers/random.ts";
import { filmedTables, points } from "./filmedTables.ts";

describe("measure", () => {
  /** Drawn once: ten thousand draws are most of this file's time. */
  let drawn: ReturnType<typeof blademark> | null = null;
  const drawnOnce = (base: readonly string[]) => {
    drawn ??= blademark(...base, "--json", "--seed", "7");
    return drawn;
  };

  it("prints one JSON object with every quantity of every stride, true to the simulated skater", async () => {
    const { base } = filmedTables();
    const { status, out } = await blademark(...base, "--mark-sd", "1", "--json");
    expect(status).toBe(0);
    expect(out.trimEnd().split("\n")).toHaveLength(1);
    const json = JSON.parse(out);
    expect(json).toMatchObject({
      format: "blademark.measure",
      version: 1,
      scale: { kind: "ice-points", points: points.length },
    });
    expect(json.strides.map((s: { side: string }) => s.side)).toEqual([
      "left",
      "right",
      "left",
      "right",
      "left",
    ]);
    const times = frames.map((f) => ({
      side: f.side,
      off: f.off / 60,
      nearest: f.nearest / 60,
      on: f.on / 60,
    }));
    for (const k of [1, 2, 3]) {
      // [closed form: the simulated skater's own blade points, by docs/contracts.md's definitions]
      const truth = byDefinition(skater, times, k);
      expect(Math.abs(json.strides[k].stride_width_m.at_frame - truth.stride_width_m)).toBeLessThan(0.001);
    }
    // Names and order: docs/contracts.md, `measure --json`.
    expect(Object.keys(json.strides[0])).toEqual([
      ...[
        "stride",
        "side",
        "blade_off_s",
        "blade_on_s",
        "stride_width_m",
        "blade_separation_m",
        "half_width_m",
      ],
      ...[
        "recovery_to_midline_m",
        "touchdown_to_midline_m",
        "touchdown_to_track_midline_m",
        "stride_rate_hz",
      ],
      ...["stride_length_m", "recovery_time_s", "arm_swing_direction_deg", "arm_swing_angle_deg"],
      // Gained since, at the end; nothing lost.
      ...["arm_picture_angle_deg", "along_track_speed_m_s"],
    ]);
  });

  it("says with --recheck whether the camera stood still", async () => {
    const { base, put } = filmedTables();
    const [a, b, c] = points as [IcePoint, IcePoint, IcePoint];
    const table = (dx: number) =>
      `frame,label,x_px,y_px\n${[a, b, c].map((p) => `300,${p.label},${p.xPx + dx},${p.yPx}`).join("\n")}\n`;
    const still = await blademark(...base, "--recheck", put("still.csv", table(0)), "--json");
    expect(still.status).toBe(0);
    expect(JSON.parse(still.out).scale.still).toMatchObject({ points: 3, frames: 1, moved: false });
    const bumped = await blademark(...base, "--recheck", put("bumped.csv", table(7)), "--json");
    expect(bumped.said).toContain("The camera moved: on frame 300");
    const { scale } = JSON.parse(bumped.out);
    expect(scale.still.moved).toBe(true);
    expect(scale.warnings.map((w: { code: string }) => w.code)).toContain("camera-moved");
    expect(JSON.parse((await blademark(...base, "--json")).out).scale.still).toBeUndefined();
  });

  it("names the line of a point checked again that is no ice point, and the option that is missing", async () => {
    const { base, put } = filmedTables();
    const odd = put("odd.csv", "frame,label,x_px,y_px\n300,P1,5,5\n300,nobody,5,5\n300,P1,6,6\n");
    const { status, said } = await blademark(...base, "--recheck", odd);
    expect(status).toBe(1);
    expect(said).toContain("there is no ice point nobody");
    expect(said).toContain("Line 4");
    const without = base.map((word) => (word === "--ice" ? "--known-length" : word));
    expect((await blademark(...without, "--recheck", odd)).status).toBe(2);
  });

  it("says with --seed what Monte Carlo makes of every number, and whether it agrees", async () => {
    const { base } = filmedTables();
    const { status, out } = await drawnOnce(base);
    expect(status).toBe(0);
    const json = JSON.parse(out);
    expect(json.monte_carlo).toMatchObject({ seed: 7, draws: 10_000 });
    expect(json.monte_carlo.compared).toBeGreaterThan(40);
    const { value, u95, monte_carlo: drawn } = json.strides[2].stride_width_m;
    // JCGM 101:2008, 8: the ends agree to a tenth of u95; speed times moment leans a little to one side (0.05 u95).
    expect(Math.abs(drawn.low - (value - u95))).toBeLessThan(0.1 * u95);
    expect(Math.abs(drawn.high - (value + u95))).toBeLessThan(0.1 * u95);
    expect(json.trial.stride_width_m.monte_carlo.u).toBeGreaterThan(0);
    const plain = JSON.parse((await blademark(...base, "--json")).out);
    expect(plain.monte_carlo).toBeUndefined();
    expect(plain.strides[2].stride_width_m).toEqual({
      value,
      u95,
      at_frame: json.strides[2].stride_width_m.at_frame,
    });
  });

  it("gives the same bytes for the same tables, whatever the order of their rows and columns", async () => {
    const { base, put } = filmedTables();
    const first = await drawnOnce(base);
    const rows = writeMarksCsv(input.marks).trimEnd().split(/\r?\n/);
    const [header = "", ...body] = rows;
    const turned = [header, ...body].map((row) => row.split(",").reverse().join(","));
    put("marks.csv", `${[turned[0], ...turned.slice(1).reverse()].join("\r\n")}\r\n`);
    const second = await blademark(...base, "--json", "--seed", "7");
    expect(second.out).toBe(first.out);
  });

  it("takes an event's time from the marks, and says so only when it had to go beyond them", async () => {
    const { base, put } = filmedTables();
    const whole = await blademark(...base, "--json");
    const noTimes = writeEventsCsv(input.events)
      .trimEnd()
      .split(/\r?\n/)
      .map((row) => row.split(",").slice(0, 3).join(","));
    put("events.csv", noTimes.join("\n"));
    const inside = await blademark(...base, "--json");
    const expected = JSON.parse(whole.out).strides.map(
      (s: { blade_off_s: { value: number } }) => s.blade_off_s.value,
    );
    const got = JSON.parse(inside.out).strides.map(
      (s: { blade_off_s: { value: number } }) => s.blade_off_s.value,
    );
    for (const [i, time] of got.entries()) expect(time).toBeCloseTo(expected[i], 9);
    expect(inside.out).not.toMatch(/time-extrapolated/);

    const last = Math.max(...input.marks.map((m) => m.frame));
    put("events.csv", [...noTimes, `arm_front,left,${last + 30}`].join("\n"));
    const beyond = await blademark(...base, "--json");
    expect(JSON.parse(beyond.out).warnings.map((w: { code: string }) => w.code)).toContain(
      "time-extrapolated",
    );
    expect(beyond.said).toMatch(new RegExp(`frame ${last + 30}`));
  });

  it("takes a lens whose first coefficient is negative, as most are, with or without an equals sign", async () => {
    const { base } = filmedTables();
    const answers = [];
    for (const lens of [["--lens", "-0.08,0.01"], ["--lens=-0.08,0.01"], ["--lens", "-.08,0.01"]]) {
      const { status, out } = await blademark(...base, ...lens, "--json");
      expect(status).toBe(0);
      answers.push(out);
    }
    expect(JSON.parse(answers[0]!).scale.lens).toEqual({ from: "given", k1: -0.08, k2: 0.01, u95_k1: null });
    expect(new Set(answers).size).toBe(1);
    expect((await blademark(...base, "--lens", "--json")).status).toBe(2);
  });

  it("measures a camera that pans from ice points frame by frame, true to the simulated skater", async () => {
    const { base, ice, put } = filmedTables();
    const panned = pannedTrial(skater, {
      ...{ from: [18, -9, 3], aimAt: (t: number) => [12 + SPEED * t, 0], hfovAt: () => 40 },
      ...{
        fps: 60,
        noisePx: 0,
        statedSdPx: 1,
        random: seeded(3),
        keyPoints: 8,
        keyFrames: 3,
        framePoints: 2,
      },
    });
    put("marks.csv", writeMarksCsv(panned.input.marks));
    put("events.csv", writeEventsCsv(panned.input.events));
    const file = put("frames.csv", writeIcePointFramesCsv(panned.iceFrames));
    const args = base.map((a) => (a === "--ice" ? "--ice-frames" : a === ice ? file : a));
    const { status, out } = await blademark(...args, "--json");
    expect(status).toBe(0);
    const { scale, strides } = JSON.parse(out);
    expect(scale).toMatchObject({ kind: "ice-points-by-frame", frames: panned.iceFrames.length });
    expect(scale.camera.height_m).toBeCloseTo(3, 4);
    const at = panned.frames.map((f) => ({ ...f, off: f.off / 60, nearest: f.nearest / 60, on: f.on / 60 }));
    for (const k of [1, 2, 3]) {
      const want = byDefinition(skater, at, k).stride_width_m;
      expect(Math.abs(strides[k].stride_width_m.at_frame - want)).toBeLessThan(0.001);
    }
  });

  it("shows every number with unit and uncertainty in words", async () => {
    const { base } = filmedTables();
    const { status, out } = await blademark(...base);
    expect(status).toBe(0);
    expect(out).toMatch(/Scale of the ice from 8 ice points/);
    expect(out).toMatch(/stride width +\d\.\d+ ± 0\.\d+\sm/);
    expect(out).toMatch(/blade-off +\d\.\d+ ± 0\.\d+\ss/);
  });
});
