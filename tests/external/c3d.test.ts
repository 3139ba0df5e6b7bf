import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { c3dFile } from "../../src/report/c3d.ts";
import { trialC3d } from "../../src/report/trialC3d.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demo } from "../helpers/demoReadings.ts";
import { near } from "../helpers/near.ts";
import { readC3d } from "../helpers/readC3d.ts";

// The format: The C3D File Format user guide, c3d.org (header words 1-12, parameter section, 3D data section, and
// "a negative residual marks the point invalid"). No general C3D reader is in npm or Debian, so `readC3d` is one
// written for these tests from that guide; it shares nothing with the writer.

const frames = Array.from({ length: 7 }, (_, f) =>
  Array.from({ length: 5 }, (_, p) =>
    (f + p) % 3 === 0 ? null : { x: 31.2345 - f * 0.71 + p, y: -1.4321 + 0.017 * p * f, z: 0.8765 * p },
  ),
);
const file = c3dFile({
  labels: ["left_blade_heel", "b", "a label of some length", "d", "e"],
  descriptions: ["one", "", "three", "", "five"],
  rate: 59.94,
  firstFrame: 101,
  frames,
  events: [
    { label: "blade off", context: "left", seconds: 1.75 },
    { label: "arm front", context: "right", seconds: 61.5 },
  ],
});

describe("a C3D file", () => {
  const read = readC3d(file);

  it("gives back every place within 0.1 mm and every missing point as invalid", () => {
    expect(read.frames).toHaveLength(frames.length);
    read.frames.forEach((points, f) => {
      expect(points).toHaveLength(5);
      points.forEach((point, p) => {
        const was = frames[f]![p]!;
        if (was === null) expect(point.residual).toBeLessThan(0);
        else {
          expect(point.residual).toBeGreaterThanOrEqual(0);
          for (const axis of ["x", "y", "z"] as const) near(point[axis], was[axis], 1e-4);
        }
      });
    });
  });

  it("says its rate, its unit, its frames and what its points are called", () => {
    near(read.headerRate, 59.94, 1e-5);
    near(read.number("POINT", "RATE"), 59.94, 1e-5);
    expect(read.text("POINT", "UNITS")).toEqual(["m"]);
    expect(read.text("POINT", "LABELS")).toEqual([
      "left_blade_heel",
      "b",
      "a label of some length",
      "d",
      "e",
    ]);
    expect(read.number("POINT", "USED")).toBe(5);
    expect(read.number("POINT", "FRAMES")).toBe(7);
    expect(read.number("ANALOG", "USED")).toBe(0);
    expect(read.number("FORCE_PLATFORM", "USED")).toBe(0);
    expect([read.firstFrame, read.lastFrame]).toEqual([101, 107]);
  });

  // User guide, "Event times": header times count from the first sample in the file, EVENT:TIMES from frame 1, in
  // whole minutes and seconds.
  it("has its events in the header and, in full, among the parameters", () => {
    expect(read.headerEvents.map((e) => e.label)).toEqual(["LBOF", "RAFR"]);
    near(read.headerEvents[0]!.seconds, 1.75 - 100 / 59.94, 1e-5);
    expect(read.number("EVENT", "USED")).toBe(2);
    expect(read.text("EVENT", "LABELS")).toEqual(["blade off", "arm front"]);
    expect(read.text("EVENT", "CONTEXTS")).toEqual(["left", "right"]);
    expect(read.numbers("EVENT", "TIMES")).toEqual([0, 1.75, 1, 1.5]);
  });

  it("fills whole blocks of 512 bytes and begins with the two key bytes", () => {
    expect(file.length % 512).toBe(0);
    expect([file[0], file[1]]).toEqual([2, 0x50]);
  });

  it("refuses to be empty", () => {
    expect(() => c3dFile({ labels: [], descriptions: [], rate: 60, firstFrame: 1, frames: [] })).toThrow(
      expect.objectContaining({ code: "nothing-to-write" }),
    );
  });
});

describe("a trial of the demo as C3D", () => {
  const whole = demo();
  const trial = whole.study.trials.find((t) => t.id === "aino-open-1")!;
  const marks = whole.marks[trial.id]!;
  const reading = measuredOnce(whole)(trial.id);
  if (!reading.ok) throw reading.error;
  const read = readC3d(trialC3d(trial, marks, reading.value)!);
  const labels = read.text("POINT", "LABELS");
  /** Truth of the renderer, beside the clip: what was put where, metres. */
  const truth: {
    events: {
      event: string;
      side: string;
      frame: number;
      points: { point: string; side: string; m: number[] }[];
    }[];
  } = JSON.parse(
    readFileSync(join(import.meta.dirname, "../../sample-clips/truth", `${trial.id}.json`), "utf8"),
  );
  const pointAt = (frame: number, label: string) =>
    read.frames[frame + 1 - read.firstFrame]?.[labels.indexOf(label)];

  it("has every place the readings have within 0.1 mm, and no others", () => {
    const placed = new Map(
      reading.value.places.map((p) => [
        `${p.frame} ${p.side === null ? p.point : `${p.side}_${p.point}`}`,
        p,
      ]),
    );
    let valid = 0;
    read.frames.forEach((points, k) => {
      points.forEach((point, n) => {
        const place = placed.get(`${read.firstFrame - 1 + k} ${labels[n]}`);
        if (!place) expect(point.residual).toBe(-1);
        else {
          for (const axis of ["x", "y", "z"] as const) near(point[axis], place[axis], 1e-4);
          expect(point.residual).toBe(0);
          valid += 1;
        }
      });
    });
    expect(valid).toBe(placed.size);
    for (const label of ["left_blade_toe", "mid_hip", "left_wrist", "right_elbow", "right_shoulder"])
      expect(
        read.frames.some((points) => points[labels.indexOf(label)]!.residual === 0),
        label,
      ).toBe(true);
  });

  // From the front, across and up are seen well, along the lane is mostly what bodies are taken to be like: blades on
  // the ice to some cm (a marking error of 1.5 px is 1 to 3 cm here), arms and hips to their priors' size.
  it("has them where the renderer put them", () => {
    const missed = new Map<string, number[][]>();
    for (const { frame, points } of truth.events)
      for (const { point, side, m } of points) {
        const label = `${side}_${point}`;
        const found = labels.includes(label) && pointAt(frame, label);
        if (!found || found.residual < 0) continue;
        const off = [found.x - m[0]!, found.y - m[1]!, found.z - m[2]!];
        missed.set(label, [...(missed.get(label) ?? []), off]);
      }
    for (const [label, misses] of missed) {
      const rms = (axis: number) => Math.sqrt(misses.reduce((s, m) => s + m[axis]! ** 2, 0) / misses.length);
      const [along, across, up] = [0, 1, 2].map(rms);
      expect(across, `${label} across`).toBeLessThan(0.03);
      expect(up, `${label} up`).toBeLessThan(0.03);
      expect(along, `${label} along`).toBeLessThan(label.includes("blade") ? 0.3 : 0.35);
    }
    expect([...missed.keys()].filter((l) => !l.includes("blade")).length).toBeGreaterThanOrEqual(6);
  });

  it("has the event frames at their times", () => {
    const events = marks.events.slice().sort((a, b) => a.frame - b.frame);
    const times = read.numbers("EVENT", "TIMES");
    expect(read.text("EVENT", "LABELS")).toEqual(events.map((e) => e.event.replace("_", " ")));
    events.forEach((e, k) => {
      near(60 * times[2 * k]! + times[2 * k + 1]!, e.frame / read.headerRate, 1e-4);
    });
  });

  // One runner is marked to a few cm only in depth, 30 m away; the middle one of all is not moved by that.
  it("has runners as long as runners are: 0.2 to 0.35 m from heel to toe (common practice, no source)", () => {
    const lengths = read.frames
      .flatMap((points) =>
        ["left", "right"].map((side) =>
          ["heel", "toe"].map((end) => points[labels.indexOf(`${side}_blade_${end}`)]!),
        ),
      )
      .filter((ends) => ends.every((end) => end.residual >= 0))
      .map(([heel, toe]) => Math.hypot(toe!.x - heel!.x, toe!.y - heel!.y))
      .sort((a, b) => a - b);
    expect(lengths.length).toBeGreaterThan(10);
    const middle = lengths[lengths.length >> 1]!;
    expect(middle).toBeGreaterThan(0.2);
    expect(middle).toBeLessThan(0.35);
  });
});
