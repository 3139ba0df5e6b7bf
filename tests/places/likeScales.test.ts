import { describe, expect, it } from "vitest";
import { cameraWords, likeScales } from "../../app/places/measure/scale/likeScales.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { demo } from "../helpers/demoReadings.ts";

const DEMO = demo();
const TRIAL = DEMO.study.trials.find((t) => t.id === "aino-close-1")!;
const { width, height } = DEMO.marks[TRIAL.id]!.picture!;

/** The demo, where the trial has no scale of its own yet. */
const UNSCALED: WholeStudy = {
  ...DEMO,
  marks: { ...DEMO.marks, [TRIAL.id]: { ...DEMO.marks[TRIAL.id]!, iceReference: null } },
};

describe("scales that could be copied", () => {
  it("are those filmed nearest in the run order first, where nothing is known of this trial's camera", () => {
    const orders = likeScales(UNSCALED, TRIAL, { width, height })
      .filter((s) => s.sameSize)
      .map((s) => Math.abs(s.trial.order - TRIAL.order));
    expect(orders.length).toBeGreaterThan(3);
    expect(orders).toEqual(orders.slice().sort((a, b) => a - b));
  });

  it("are those of cameras nearest to this trial's own, where it has a scale", () => {
    // Moving every ice point 5 m along the lane moves the camera that fits it by as much.
    const moved = likeScales(UNSCALED, TRIAL, { width, height })[0]!.trial.id;
    const marks = UNSCALED.marks[moved]!;
    if (marks.iceReference?.kind !== "ice-points") throw new Error("the demo's scales are ice points");
    const points = marks.iceReference.points.map((p) => ({ ...p, x: p.x - 5 }));
    const away = { ...marks, iceReference: { ...marks.iceReference, points } };
    const whole = { ...DEMO, marks: { ...DEMO.marks, [moved]: away } };
    const found = likeScales(whole, TRIAL, { width, height }).filter((s) => s.sameSize && s.camera);
    const still = found.filter((s) => Math.abs(s.camera!.x - 49) < 2);
    expect(still.length).toBeGreaterThan(3);
    expect(found.findIndex((s) => s.trial.id === moved)).toBeGreaterThanOrEqual(still.length);
  });

  it("come last where the pictures are of another size", () => {
    const nearest = likeScales(UNSCALED, TRIAL, { width, height })[0]!.trial.id;
    const marks = UNSCALED.marks[nearest]!;
    const other = { ...marks, picture: { ...marks.picture!, width: 2 * width } };
    const found = likeScales({ ...UNSCALED, marks: { ...UNSCALED.marks, [nearest]: other } }, TRIAL, {
      ...{ width, height },
    });
    expect(found.at(-1)).toMatchObject({ trial: { id: nearest }, sameSize: false });
  });

  it("say where their camera stood, left being positive across the lane", () => {
    const camera = { x: 49.24, y: -0.72, height: 3.2 };
    expect(cameraWords(camera)).toBe("camera 49.2 m along, 0.7 m to the right, 3.2 m up");
  });
});
