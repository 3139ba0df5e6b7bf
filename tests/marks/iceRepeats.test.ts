import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { iceRepeats } from "../../src/marks/iceRepeats.ts";
import { reckonedSds, repeatsOf } from "../../src/marks/markSds.ts";
import type { IcePoint, IceRecheck, IceReference } from "../../src/study/types.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { ZONE } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

type PointReference = Extract<IceReference, { kind: "ice-points" }>;

const camera = pinhole([33, 0, 3], [18, 0], 65);
const PLACES = [12, 16, 20, 24].flatMap((x) => [1.5, -1.5].map((y) => ({ x, y, label: `P${x} ${y}` })));

/** What a bump does to the picture: a shift, and a turn about its middle. */
interface Bump {
  readonly shiftPx?: number;
  readonly turnDeg?: number;
}

/** Eight ice points, each pressed with an SD of its own, at first and again on some frames. */
function pressed(sdPx: number, frames: number, seed: number, bump: Bump = {}): PointReference {
  const random = seeded(seed);
  const press = (at: { readonly xPx: number; readonly yPx: number }) => ({
    xPx: at.xPx + sdPx * normal(random),
    yPx: at.yPx + sdPx * normal(random),
  });
  const points = PLACES.map(({ x, y, label }): IcePoint => {
    return { label, x, y, ...press(camera.see(x, y, 0)) };
  });
  const turn = ((bump.turnDeg ?? 0) * Math.PI) / 180;
  const rechecks = Array.from({ length: frames }, (_, k) =>
    PLACES.map(({ x, y, label }): IceRecheck => {
      const { xPx, yPx } = camera.see(x, y, 0);
      const [u, v] = [xPx - 959.5, yPx - 539.5];
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      const now = { xPx: 959.5 + c * u - s * v + (bump.shiftPx ?? 0), yPx: 539.5 + s * u + c * v };
      return { frame: 200 + 10 * k, label, ...press(now) };
    }),
  ).flat();
  return { kind: "ice-points", points, rechecks };
}

const meanSd = (of: (seed: number) => PointReference) => {
  const squares = Array.from({ length: 60 }, (_, k) => iceRepeats([of(k + 1)])!.sdPx ** 2);
  return Math.sqrt(squares.reduce((a, b) => a + b, 0) / squares.length);
};

describe("ice points pressed again", () => {
  it("tell the SD of a mark: the very one they were pressed with, in the mean of many", () => {
    // 60 clips of 36 differences: the SD of a mean variance is 4 %, of its root 2 %.
    expect(meanSd((seed) => pressed(2.5, 3, seed)) / 2.5).toBeGreaterThan(0.93);
    expect(meanSd((seed) => pressed(2.5, 3, seed)) / 2.5).toBeLessThan(1.07);
  });

  it("hold it within their interval in 90 of 100 or more", () => {
    let held = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const { low, high } = iceRepeats([pressed(1.2, 3, seed)])!;
      if (low <= 1.2 && 1.2 <= high) held++;
    }
    expect(held).toBeGreaterThanOrEqual(90);
  });

  it("tell the same of a camera that was bumped or rolled meanwhile", () => {
    const bumped = meanSd((seed) => pressed(1, 2, seed, { shiftPx: 9, turnDeg: 1 }));
    expect(bumped).toBeGreaterThan(0.9);
    expect(bumped).toBeLessThan(1.1);
  });

  it("leave out a slip, and name it", () => {
    const reference = pressed(1, 2, 3);
    const rechecks = reference.rechecks!.map((r, k) => (k === 5 ? { ...r, xPx: r.xPx + 60 } : r));
    const found = iceRepeats([{ ...reference, rechecks }])!;
    expect(found.slips.join()).toContain(`${rechecks[5]!.label} in frame 200`);
    expect(found.sdPx).toBeLessThan(1.8);
  });

  it("say nothing with fewer than ten, with one or two on a frame, or copied", () => {
    const reference = pressed(1, 2, 4);
    const { rechecks = [] } = reference;
    expect(iceRepeats([{ ...reference, rechecks: rechecks.slice(0, 8) }])).toBeNull();
    const scattered = rechecks.map((r, k) => ({ ...r, frame: 200 + k }));
    expect(iceRepeats([{ ...reference, rechecks: scattered }])).toBeNull();
    const copied = rechecks.map((r) => {
      const { xPx, yPx } = reference.points.find((p) => p.label === r.label)!;
      return { ...r, xPx, yPx };
    });
    expect(iceRepeats([{ ...reference, rechecks: copied }])).toBeNull();
    expect(iceRepeats([null, undefined])).toBeNull();
  });
});

describe("the SD that ice points are reckoned with", () => {
  it("is their own where they are pressed again, unless one is stated as known", () => {
    const repeats = repeatsOf([[]], [pressed(3, 3, 5)]);
    const { icePoints, blades } = reckonedSds(repeats, 1.5, false);
    expect(icePoints).toMatchObject({ from: "repeat-marks", repeats: repeats.icePoints });
    expect(Math.abs(icePoints.sdPx / 3 - 1)).toBeLessThan(0.35);
    expect(blades).toMatchObject({ sdPx: 1.5, from: "stated" });
    expect(reckonedSds(repeats, 1.5, true).icePoints).toMatchObject({ sdPx: 1.5, from: "stated" });
  });

  it("is used by the scale: points pressed to 3 px are not blamed", () => {
    const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8 });
    const film = { camera, fps: 60, zone: ZONE, noisePx: 1, slips: 0, random: seeded(1), statedSdPx: 1 };
    const { input } = filmedTrial(skater, film);
    let [told, moved] = [0, 0];
    for (let seed = 1; seed <= 10; seed++) {
      const readings = measureTrial({ ...input, iceReference: pressed(3, 3, seed) });
      expect(readings.marking.icePoints.from).toBe("repeat-marks");
      expect(readings.scaleWhy).toBeNull();
      told += readings.scale!.warnings.filter((w) => w.code === "ice-points-fit-poorly").length;
      if (readings.scale!.still!.moved) moved++;
    }
    // By chance 2 in 100, each.
    expect(told).toBeLessThanOrEqual(1);
    expect(moved).toBeLessThanOrEqual(1);
  });

  it("hides no bump: a camera shifted by 8 px, or rolled by a degree, is still told", () => {
    const skater = simulateSkater({ ...ORDINARY, strides: 5, speed: 7, startX: 11.8 });
    const film = { camera, fps: 60, zone: ZONE, noisePx: 1, slips: 0, random: seeded(1), statedSdPx: 1 };
    const { input } = filmedTrial(skater, film);
    for (const bump of [{ shiftPx: 8 }, { turnDeg: 1 }]) {
      const { scale, marking } = measureTrial({ ...input, iceReference: pressed(1, 2, 6, bump) });
      expect(marking.icePoints.sdPx).toBeLessThan(2);
      expect(scale!.still!.moved).toBe(true);
    }
  });
});
