import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { MeasureInput, TrialReadings } from "../../src/kinematics/types.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { stretchedScales } from "../../src/trials/stretchedScales.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { unlikeScales } from "../../src/trials/unlikeScales.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

/* The simulated runner is 0.28 m long (tests/helpers/skater.ts): heel and toe lie 0.14 m either side of its middle. */
const BLADE = 0.28;
const stretched = (input: MeasureInput, along: number, across: number): MeasureInput => {
  const { iceReference } = input;
  if (iceReference?.kind !== "ice-points") throw new Error("filmedTrial gives ice points");
  const points = iceReference.points.map((p) => ({ ...p, x: p.x * along, y: p.y * across }));
  return { ...input, iceReference: { ...iceReference, points } };
};

function measured(seed: number, along = 1, across = 1, blade?: number): TrialReadings {
  const skater = simulateSkater({ ...ORDINARY, speed: 7.3, hipHeight: 0.73, wide: 0.5 });
  const film = { camera: PLACEMENTS.side, fps: 60, zone: ZONE, noisePx: 1, slips: 0.2, statedSdPx: 1 };
  const { input } = filmedTrial(skater, { ...film, random: seeded(seed) });
  return measureTrial({ ...stretched(input, along, across), body: blade ? { blade } : {} });
}

/** A study of one trial a reading, skaters in turn; only what is asked for here. */
function studyOf(readings: readonly TrialReadings[], skaters: number, blade?: number) {
  const trials = readings.map((_, k) => ({ id: `t${k}`, skater: `s${k % skaters}`, valid: true }));
  const picture = { width: 1920, height: 1080 };
  const whole = {
    study: {
      skaters: Array.from({ length: skaters }, (_, k) => ({ id: `s${k}`, body: blade ? { blade } : {} })),
      trials,
    },
    marks: Object.fromEntries(trials.map(({ id }) => [id, { picture }])),
  } as unknown as WholeStudy;
  const readingOf: ReadingOf = (id) => ({ ok: true, value: readings[Number(id.slice(1))]! });
  return { whole, readingOf };
}

const codes = (warnings: readonly { readonly code: string }[]) => warnings.map((w) => w.code);
const YARDS = 1 / 0.9144;

describe("the runner's length on the ice", () => {
  it("is what it is, within its ±, in 90 of 100 trials or more", () => {
    let within = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const { runner } = measured(seed);
      if (runner.value === null) throw new Error(runner.why);
      if (Math.abs(runner.value - BLADE) <= runner.u95) within++;
    }
    expect(within).toBeGreaterThanOrEqual(54);
  });

  it("tells places in yards in the trial itself, seen from the side, and no right ones", () => {
    let [told, alarms] = [0, 0];
    for (let seed = 1; seed <= 40; seed++) {
      const of = (factor: number) =>
        measured(seed, factor, factor, BLADE).warnings.filter((w) => w.code === "runner-unlike-blade").length;
      told += of(YARDS);
      alarms += of(1);
    }
    expect(told).toBeGreaterThan(10);
    expect(alarms).toBeLessThanOrEqual(2);
  });
});

describe("the trials of a study together", () => {
  const twelve = (along: number, across = along) =>
    Array.from({ length: 18 }, (_, k) => measured(100 + k, along, across));

  it("tell a tape that is 5 % long, in every trial, by the typed blades of six skaters", () => {
    const { whole, readingOf } = studyOf(twelve(1.05), 6, BLADE);
    const [said] = stretchedScales(whole, readingOf);
    expect(said!.code).toBe("runners-unlike-blades");
    const [, share, u95] = said!.text.match(/In 18 trials of 6 skaters .* ([\d.]+) ± ([\d.]+) % longer/)!;
    expect(Math.abs(Number(share) - 5)).toBeLessThan(Number(u95));
  });

  it("do not of a tape that is right, or where no blade was typed", () => {
    const right = studyOf(twelve(1), 6, BLADE);
    expect(stretchedScales(right.whole, right.readingOf)).toEqual([]);
    const untold = studyOf(twelve(1.05), 6);
    expect(stretchedScales(untold.whole, untold.readingOf)).toEqual([]);
  });

  it("tell one trial whose places are in yards by the same skater's runner, without any typed length", () => {
    const right = [2, 3, 4, 5, 6, 7, 8].map((seed) => measured(seed));
    let told = 0;
    for (let seed = 11; seed <= 22; seed++) {
      const { whole, readingOf } = studyOf([measured(seed, YARDS, YARDS), ...right], 1);
      if (codes(unlikeScales(whole, "t0", readingOf)).includes("runner-unlike-other-trials")) told++;
      for (const id of ["t1", "t4", "t7"]) expect(unlikeScales(whole, id, readingOf)).toEqual([]);
    }
    // One trial's own marks give the runner to 3 % SD, and yards are 9 % off.
    expect(told).toBeGreaterThanOrEqual(4);
  });

  it("tell one trial stretched along the lane only by the focal length of the others' clips", () => {
    const trials = [measured(1, 1.1, 1), ...[2, 3, 4, 5, 6].map((seed) => measured(seed))];
    const { whole, readingOf } = studyOf(trials, 6);
    expect(codes(unlikeScales(whole, "t0", readingOf))).toEqual(["focal-unlike-other-trials"]);
    expect(unlikeScales(whole, "t3", readingOf)).toEqual([]);
  });
});
