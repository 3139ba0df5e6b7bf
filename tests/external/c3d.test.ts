import { describe, expect, it } from "vitest";
import { c3dFile } from "../../src/report/c3d.ts";
import { trialC3d } from "../../src/report/trialC3d.ts";
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
  const trial = "aino-open-1";
  const read = readC3d(trialC3d(whole, trial)!);
  const marks = whole.marks[trial]!;

  it("has each blade where its heel and toe are marked at its own blade-off, and nowhere between events", () => {
    const eventFrames = new Set(marks.events.filter((e) => e.event.startsWith("blade_")).map((e) => e.frame));
    read.frames.forEach((points, k) => {
      if (!eventFrames.has(read.firstFrame - 1 + k))
        for (const point of points) expect(point.residual).toBe(-1);
    });
    const off = marks.events.find((e) => e.event === "blade_off")!;
    const column = read.text("POINT", "LABELS").indexOf(`${off.side}_blade_heel`);
    expect(read.frames[off.frame - read.firstFrame + 1]![column]!.residual).toBe(0);
  });

  // One runner is marked to a few cm only in depth, 30 m away; the middle one of all is not moved by that.
  it("has runners as long as runners are: 0.2 to 0.35 m from heel to toe (common practice, no source)", () => {
    const lengths = read.frames
      .flatMap((points) => [
        [points[0]!, points[1]!],
        [points[2]!, points[3]!],
      ])
      .filter(([heel, toe]) => heel!.residual >= 0 && toe!.residual >= 0)
      .map(([heel, toe]) => Math.hypot(toe!.x - heel!.x, toe!.y - heel!.y))
      .sort((a, b) => a - b);
    expect(lengths.length).toBeGreaterThan(10);
    const middle = lengths[lengths.length >> 1]!;
    expect(middle).toBeGreaterThan(0.2);
    expect(middle).toBeLessThan(0.35);
    for (const points of read.frames) for (const point of points) expect(point.z).toBe(0);
  });
});
