/** The evening about arms: the same club, four of them; arms along the lane and arms across it. All invented. */
import type { ClockSpec } from "./clock.ts";
import { type ClipSpec, PEOPLE, type RunSpec } from "./people.ts";
import { seeded } from "./random.ts";
import type { ArmHabit } from "./taughtArms.ts";
import { BENCH_CAMERA, BENCH_MARKS, facingCamera, LANE_MARKS } from "./world.ts";

export type ArmsId = "along" | "across";

/** Everybody but Wren. */
export const SWINGERS = PEOPLE.filter((p) => p.id !== "wren");
/** Who was filmed, in the first trial of each technique, from the finish and from the bench at once. */
const FILMED = ["aino", "bea", "signe"];

const ALONG: ArmHabit = {
  ...{ front: [0.72, -0.1, -0.69], back: [-0.68, 0.22, -0.7], pole: [-0.75, 0.5, -0.15] },
  ...{ bendFrontDeg: 84, bendBackDeg: 124, openDeg: 14, shoulderTurn: 0.1 },
  ...{ leftMoreAcrossDeg: 0, lag: 0.018, rightLate: 0 },
};
const ACROSS: ArmHabit = {
  ...{ front: [0.45, -0.4, -0.8], back: [-0.1, 0.7, -0.7], pole: [-0.45, 0.8, -0.1] },
  ...{ bendFrontDeg: 90, bendBackDeg: 114, openDeg: 8, shoulderTurn: 0.3 },
  ...{ leftMoreAcrossDeg: 0, lag: 0.026, rightLate: 0 },
};
/** Asked for across, and hardly more than her usual along. */
const HARDLY_ACROSS: ArmHabit = {
  ...ACROSS,
  ...{ front: [0.68, -0.16, -0.7], back: [-0.56, 0.34, -0.74], bendBackDeg: 120, shoulderTurn: 0.16 },
};

/** How one person's left and right differ, and how much along is quicker for her over the lane. */
const OWN: Readonly<Record<string, { leftMoreAcrossDeg: number; rightLate: number; alongGain: number }>> = {
  aino: { leftMoreAcrossDeg: -9, rightLate: 0.012, alongGain: 0.06 },
  bea: { leftMoreAcrossDeg: 4, rightLate: -0.008, alongGain: 0.05 },
  signe: { leftMoreAcrossDeg: 12, rightLate: 0.006, alongGain: 0.02 },
  tove: { leftMoreAcrossDeg: -3, rightLate: 0.01, alongGain: -0.02 },
};

export function armsRun(personId: string, technique: ArmsId, repeat: number): RunSpec {
  const person = SWINGERS.find((p) => p.id === personId);
  const own = OWN[personId];
  if (!person || !own) throw new Error(`nobody called ${personId} was there`);
  const name = `${personId}-${technique}-${repeat}`;
  const asked = technique === "along" ? ALONG : ACROSS;
  const shown = name === "signe-across-1" ? HARDLY_ACROSS : asked;
  const { leftMoreAcrossDeg, rightLate, alongGain } = own;
  const slower = technique === "across" ? alongGain : 0;
  return {
    ...{ name, person, technique, repeat },
    gateTime: person.closeTime - 0.17 + slower + 0.018 * seeded(`time of ${name}`).normal(),
    touchdown: 0.1,
    arms: { ...shown, leftMoreAcrossDeg, rightLate },
  };
}

/** Left to be marked by whoever opens the study. */
const UNMARKED = ["bea-along-1", "bea-across-1"];

export const ARMS_CLIPS: readonly ClipSpec[] = FILMED.flatMap((id, i) =>
  (["along", "across"] as const).flatMap((technique, k): ClipSpec[] => {
    const run = armsRun(id, technique, 1);
    const rate = { fps: 60, claimedFps: 60, shutter: 1 / 320 };
    const marks = [...LANE_MARKS, ...BENCH_MARKS];
    const nudge = 0.7 * i - 0.4 * k - 0.5;
    return [
      {
        ...{ name: run.name, run, camera: facingCamera(nudge), marks, ...rate },
        ...(UNMARKED.includes(run.name) ? { unmarked: true as const } : {}),
      },
      {
        ...{ name: `${run.name}-bench`, run, camera: BENCH_CAMERA },
        marks: marks.filter((m) => m.x > 11 && m.x < 25),
        ...rate,
        ...{ phase: 0.81, only: [8.6, 27.4] },
        ...{ linkedTo: null, furtherView: true as const },
        ...(UNMARKED.includes(run.name) ? { unmarked: true as const } : {}),
      },
    ];
  }),
);

/** The display stopped at 4.75; somebody typed 4.57. */
export const MISTYPED = { trial: "bea-along-1", display: 4.75, typed: 4.57 };

/** What a telephone beside the timing table saw of that trial. */
export const CLOCK: ClockSpec = {
  ...{ name: `${MISTYPED.trial}-clock`, trial: MISTYPED.trial, skater: "Bea", technique: "along", repeat: 1 },
  stopped: MISTYPED.display,
  camera: { place: [-0.42, -1.5, 0.24], aim: [0.02, 0, -0.03], hfovDeg: 36, width: 1280, height: 720 },
  ...{ fps: 60, shutter: 1 / 120, before: 0.9, after: 1.1 },
};
