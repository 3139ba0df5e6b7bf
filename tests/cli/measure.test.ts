import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeEach, describe, expect, it } from "vitest";
import {
  writeEventsCsv,
  writeIcePointFramesCsv,
  writeIcePointsCsv,
  writeMarksCsv,
} from "../../src/study/tables.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pannedTrial } from "../helpers/pannedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const SPEED = 7;
const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: SPEED, startX: 11.8 });
const camera = Object.values(PLACEMENTS)[0]!;
const { input, frames } = filmedTrial(skater, {
  ...{ camera, fps: 60, zone: ZONE, noisePx: 0, slips: 0, random: seeded(3), statedSdPx: 1 },
});
const points = input.iceReference?.kind === "ice-points" ? input.iceReference.points : [];

let folder = "";
const put = (name: string, text: string) => {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
};
let base: string[] = [];
let marks = "";
let events = "";
let ice = "";
beforeEach(() => {
  folder = temporaryFolder();
  marks = put("marks.csv", writeMarksCsv(input.marks));
  events = put("events.csv", writeEventsCsv(input.events));
  ice = put("ice.csv", writeIcePointsCsv(points));
  base = [
    "measure",
    "--marks",
    marks,
    "--events",
    events,
    "--ice",
    ice,
    "--picture",
    `${camera.width}x${camera.height}`,
  ];
});

describe("measure", () => {
  /** Drawn once: ten thousand draws are most of this file's time. */
  let drawn: ReturnType<typeof blademark> | null = null;
  const drawnOnce = () => {
    drawn ??= blademark(...base, "--json", "--seed", "7");
    return drawn;
  };

  it("prints one JSON object with every quantity of every stride, true to the simulated skater", async () => {
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
    const odd = put("odd.csv", "frame,label,x_px,y_px\n300,P1,5,5\n300,nobody,5,5\n300,P1,6,6\n");
    const { status, said } = await blademark(...base, "--recheck", odd);
    expect(status).toBe(1);
    expect(said).toContain("there is no ice point nobody");
    expect(said).toContain("Line 4");
    const without = base.map((word) => (word === "--ice" ? "--known-length" : word));
    expect((await blademark(...without, "--recheck", odd)).status).toBe(2);
  });

  it("says with --seed what Monte Carlo makes of every number, and whether it agrees", async () => {
    const { status, out } = await drawnOnce();
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
    const first = await drawnOnce();
    const rows = writeMarksCsv(input.marks).trimEnd().split(/\r?\n/);
    const [header = "", ...body] = rows;
    const turned = [header, ...body].map((row) => row.split(",").reverse().join(","));
    put("marks.csv", `${[turned[0], ...turned.slice(1).reverse()].join("\r\n")}\r\n`);
    const second = await blademark(...base, "--json", "--seed", "7");
    expect(second.out).toBe(first.out);
  });

  it("takes an event's time from the marks, and says so only when it had to go beyond them", async () => {
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

  it("names file, line and reason of every bad row, and imports none of it", async () => {
    put(
      "marks.csv",
      "frame,time_s,point,side,x_px,y_px\n1,0.1,blade_toe,left,5,5\n2,0.2,knee,left,5,5\n3,x,hip,up,5,5\n",
    );
    const { status, out, said } = await blademark(...base);
    expect({ status, out }).toEqual({ status: 1, out: "" });
    expect(said).toMatch(/marks\.csv/);
    expect(said).toMatch(/Line 3: point is "knee"/);
    expect(said).toMatch(/Line 4: time_s/);
  });

  it("answers 1 for a table that is not there", async () => {
    const { status, said } = await blademark(...base.map((a) => (a === ice ? `${ice}x` : a)));
    expect(status).toBe(1);
    expect(said).toMatch(/no file .*ice\.csvx/);
  });

  it("takes a lens whose first coefficient is negative, as most are, with or without an equals sign", async () => {
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

  it("refuses metres from a moving camera's ice points on one frame only, and keeps the times", async () => {
    const [head, ...rows] = readFileSync(ice, "utf8").trim().split(/\r?\n/);
    const file = put("ice_frames.csv", [`frame,${head}`, ...rows.map((r) => `12,${r}`)].join("\n"));
    const args = base.map((a) => (a === "--ice" ? "--ice-frames" : a === ice ? file : a));
    const { status, out, said } = await blademark(...args, "--json");
    expect(status).toBe(1);
    expect(said).toMatch(/camera moves.*only on frame 12/);
    expect(JSON.parse(out).strides[2].stride_width_m.value).toBeNull();
  });

  it("keeps times and rates, says why there are no metres, and answers 1, when the ice reference is refused", async () => {
    // Four points on one line give no scale of the ice.
    const line = [0, 1, 2, 3].map((i) => ({ label: `P${i}`, xPx: 100 + 300 * i, yPx: 500, x: 10 + i, y: 0 }));
    put("ice.csv", writeIcePointsCsv(line));
    const { status, out, said } = await blademark(...base, "--json");
    expect(status).toBe(1);
    expect(said).toMatch(/lie on one line/);
    const json = JSON.parse(out);
    expect(json.scale.value).toBeNull();
    expect(json.scale.why).toMatch(/line/);
    expect(json.strides[2].stride_width_m.value).toBeNull();
    expect(json.strides[2].stride_width_m.why.length).toBeGreaterThan(10);
    expect(json.strides[2].stride_rate_hz.value).toBeCloseTo(1 / ORDINARY.period, 0);
  });

  it("shows every number with unit and uncertainty in words", async () => {
    const { status, out } = await blademark(...base);
    expect(status).toBe(0);
    expect(out).toMatch(/Scale of the ice from 8 ice points/);
    expect(out).toMatch(/stride width +\d\.\d+ ± 0\.\d+\sm/);
    expect(out).toMatch(/blade-off +\d\.\d+ ± 0\.\d+\ss/);
  });

  describe("the pairing check", () => {
    const last = skater.offs.length - 1;
    const at = (i: number) => skater.blade(skater.offs[i]!.side, skater.offs[i]!.time).x;
    const gates: [number, number] = [at(0) + 0.3, at(last) - 0.3];
    // Constant speed, so the time between the gates is their distance over it.
    const truth = (gates[1] - gates[0]) / SPEED;
    const check = async (photocell: number, more: string[] = [], to = gates) => {
      const given = ["--photocell", photocell.toFixed(3), "--gates", to.map((g) => g.toFixed(3)).join(",")];
      const { out } = await blademark(...base, ...given, ...more, "--json");
      return JSON.parse(out).warnings.filter((w: { code: string }) => w.code.startsWith("pairing"));
    };

    it("says that a fitting time agrees, and that this proves nothing", async () => {
      const [warning, ...more] = await check(truth);
      expect(more).toEqual([]);
      expect(warning.code).toBe("pairing");
      expect(warning.text).toMatch(/agree.*does not prove/);
      const shown = Number(/clip shows (\d+\.\d+)/.exec(warning.text)?.[1]);
      expect(Math.abs(shown - truth)).toBeLessThan(0.05);
    });

    it("finds slow-motion playback", async () => {
      const [warning] = await check(truth / 8);
      expect(warning.code).toBe("pairing-speed");
      expect(warning.text).toMatch(/speed factor by 8/);
      const [settled] = await check(truth / 8, ["--speed-factor", "8"]);
      expect(settled.code).toBe("pairing");
    });

    it("doubts a clip whose time fits no playback", async () => {
      const [warning] = await check(truth * 1.55);
      expect(warning.code).toBe("pairing-refuted");
    });

    it("says why it cannot check gates that the marks do not reach", async () => {
      const [warning] = await check(5, [], [0, 30]);
      expect(warning.code).toBe("pairing-not-checked");
      expect(warning.text).toMatch(/reach from \d+\.\d to \d+\.\d m/);
    });
  });
});

describe("measure of a study folder", () => {
  const study = () =>
    studyFolder({ ...STUDY, markSdPx: 1 }, [
      {
        ...{ format: "blademark.marks", version: 1, trial: "t1", iceReference: input.iceReference },
        picture: { clip: "c", width: camera.width, height: camera.height, frameInterval: 1 / 60 },
        ...{ events: input.events, marks: input.marks },
      },
    ]);

  it("gives the same strides as the tables", async () => {
    const tables = JSON.parse((await blademark(...base, "--mark-sd", "1", "--json")).out);
    const { status, out } = await blademark("measure", study(), "t1", "--json");
    expect(status).toBe(0);
    const strides = JSON.parse(out).strides;
    expect(strides).toHaveLength(5);
    for (const [k, stride] of strides.entries()) {
      // Tables carry decimal digits, documents binary ones.
      expect(stride.stride_width_m.value ?? 0).toBeCloseTo(tables.strides[k].stride_width_m.value ?? 0, 6);
      expect(stride.blade_off_s.value).toBeCloseTo(tables.strides[k].blade_off_s.value, 6);
    }
  });

  it("draws errors for one trial with --seed, and asks which trial", async () => {
    const folder = study();
    const { status, out } = await blademark("measure", folder, "t1", "--seed", "7", "--json");
    expect(status).toBe(0);
    const json = JSON.parse(out);
    expect(json.monte_carlo).toMatchObject({ seed: 7, draws: 10_000 });
    const width = json.strides[2].stride_width_m;
    // JCGM 101:2008, 8: both ways of propagating agree where the formula is nearly straight.
    expect(Math.abs(width.monte_carlo.mean - width.value)).toBeLessThan(0.1 * width.u95);
    const all = await blademark("measure", folder, "--seed", "7");
    expect(all.status).toBe(2);
    expect(all.said).toMatch(/--seed.*one trial/);
  });

  it("gives every trial, those that are not marked with why", async () => {
    const { status, out } = await blademark("measure", study(), "--json");
    expect(status).toBe(0);
    const { trials } = JSON.parse(out);
    expect(trials).toMatchObject([
      { id: "t1", measure: { format: "blademark.measure", trial: { stride_width_m: { n: 3 } } } },
      { id: "t2", measure: null, why: expect.stringMatching(/No clip is linked/) },
    ]);
  });

  it("answers 1 for an unknown trial, a folder that is no study, and a study without marks", async () => {
    const unknown = await blademark("measure", study(), "t9");
    expect(unknown.status).toBe(1);
    expect(unknown.said).toMatch(/no trial "t9".*t1, t2/);
    expect((await blademark("measure", temporaryFolder())).status).toBe(1);
    const bare = await blademark("measure", studyFolder());
    expect(bare.status).toBe(1);
    expect(bare.said).toMatch(/None of its 2 trials/);
  });
});
