import { expect, it } from "vitest";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";
import { STUDY, studyFolder } from "../helpers/studyFolder.ts";

const camera = pinhole([-8, -1, 2.5], [14, 0], 65);

/** A simulated trial in front of one camera, with ice points or without. */
function filmed(trial: string, seed: number, withIce: boolean): TrialMarks {
  const { input } = filmedTrial(simulateSkater({ ...ORDINARY, startX: 2 + 0.2 * seed }), {
    ...{ camera, fps: 120, zone: [6, 24], noisePx: 1, slips: 0, statedSdPx: 1, random: seeded(seed) },
  });
  const { marks, events, iceReference } = input;
  const picture = { clip: trial, width: 1920, height: 1080, frameInterval: 1 / 120 };
  return {
    ...{ format: "blademark.marks", version: 1, trial, picture, events, marks },
    iceReference: withIce ? iceReference : null,
  };
}

it("measures a trial of a study by the ice points of another clip of its camera set-up, and says so", async () => {
  // Simulated skaters took another time than that study's.
  const t1 = { ...STUDY.trials[0]!, time: null };
  const t2 = { ...t1, id: "t2", repeat: 2, order: 2 };
  const like = { trial: "t1", by: "background", dxPx: 0, dyPx: 0, turnDeg: 0, uPx: 0.1 } as const;
  const setups = [{ id: "s1", name: "behind the start", trials: [{ trial: "t1" }, { trial: "t2", like }] }];
  const study: Study = { ...STUDY, markSdPx: 1, trials: [t1, t2], setups };
  const folder = studyFolder(study, [filmed("t1", 3, true), filmed("t2", 4, false)]);
  const { status, out } = await blademark("measure", folder, "t2", "--json");
  expect(status).toBe(0);
  const { scale, trial } = JSON.parse(out);
  expect(trial.stride_width_m.n).toBeGreaterThan(1);
  const zero = { value: 0, u95: 0 };
  const known = { value: expect.any(Number), u95: expect.any(Number) };
  expect(scale).toMatchObject({ kind: "ice-points", points: 8, warnings: [] });
  expect(scale.setup).toEqual({
    ...{ id: "s1", name: "behind the start", shared_points: 8, not_placed: [] },
    clips: [
      { trial: "t1", points: 8, by: "points", dx_px: zero, dy_px: zero, turn_deg: zero },
      { trial: "t2", points: 0, by: "background", dx_px: known, dy_px: known, turn_deg: known },
    ],
    jitter_px: { value: null, why: expect.stringContaining("has not been looked at yet") },
  });
  // What the background left open (0.1 px, SD) and nothing else.
  expect(Math.abs(scale.setup.clips[1].dx_px.value)).toBeLessThan(0.05);
  expect(scale.setup.clips[1].dx_px.u95).toBeCloseTo(0.196, 2);
});
