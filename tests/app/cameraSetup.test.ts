import { describe, expect, it } from "vitest";
import { confirmIceReference } from "../../app/commands/ice/confirmIceReference.ts";
import { joinSetup } from "../../app/commands/ice/joinSetup.ts";
import { leaveSetup } from "../../app/commands/ice/leaveSetup.ts";
import { nameCamera } from "../../app/commands/ice/nameCamera.ts";
import { nameSetup } from "../../app/commands/ice/nameSetup.ts";
import { removeTrial } from "../../app/commands/trials/removeTrial.ts";
import { NO_TOOL } from "../../app/places/measure/core/tool.ts";
import { scaleAdvice } from "../../app/places/measure/scale/scaleAdvice.ts";
import { isUnchecked, sharedScale } from "../../app/places/measure/scale/scaleHere.ts";
import { sharedHere } from "../../app/places/measure/scale/sharedHere.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import type { TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { demo } from "../helpers/demoReadings.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";
import { refusal } from "./fakeStudy.ts";

const [ONE, TWO, THREE] = ["aino-close-1", "aino-open-1", "bea-close-1"];

/** The demo with ice points on one clip only. */
function onOneClip(): WholeStudy {
  const whole = demo();
  const marks = Object.fromEntries(
    Object.entries(whole.marks).map(([id, m]) => [id, id === ONE ? m : { ...m, iceReference: null }]),
  );
  return { ...whole, marks };
}

function join(whole: WholeStudy, trial: string, other: string): WholeStudy {
  return joinSetup.run(whole, { trial, other, picture: whole.marks[trial]!.picture! });
}

const members = ({ study }: WholeStudy) =>
  study.setups?.map((s) => s.trials.map((t) => [t.trial, t.like?.trial ?? null, t.like?.by ?? null]));
const widthOf = (whole: WholeStudy, trial: string) => {
  const { scale, trial: means } = measureTrial(trialInput(whole, trial));
  const { stride_width_m: width } = means;
  return { codes: scale?.warnings.map((w) => w.code), width: "mean" in width ? width : null };
};

describe("clips filmed from the same place", () => {
  it("share one clip's ice points: one action a trial, numbers within their ± of those by own points", () => {
    // Three trials filmed by one camera (simulated); only the first keeps its ice points.
    const camera = pinhole([-8, -1, 2.5], [14, 0], 65);
    const own: Record<string, TrialMarks> = {};
    for (const [k, trial] of [ONE, TWO, THREE].entries()) {
      const { input } = filmedTrial(simulateSkater({ ...ORDINARY, startX: 2 + 0.3 * k }), {
        ...{ camera, fps: 120, zone: [6, 24], noisePx: 1, slips: 0, statedSdPx: 1, random: seeded(k + 3) },
      });
      const { marks, events, iceReference } = input;
      const picture = { clip: trial, width: 1920, height: 1080, frameInterval: 1 / 120 };
      own[trial] = { format: "blademark.marks", version: 1, trial, picture, iceReference, events, marks };
    }
    // Simulated skaters took other times than the demo's.
    const demoStudy = demo().study;
    const study = { ...demoStudy, trials: demoStudy.trials.map((t) => ({ ...t, time: null })) };
    const bare = (id: string) => ({ ...own[id]!, iceReference: null });
    let whole: WholeStudy = { study, marks: { [ONE]: own[ONE]!, [TWO]: bare(TWO), [THREE]: bare(THREE) } };
    expect(widthOf(whole, TWO).width).toBeNull();
    for (const id of [TWO, THREE]) whole = join(whole, id, ONE);
    expect(whole.study.setups).toHaveLength(1);
    // By word alone nothing shows that it holds: no metres, and why.
    expect(widthOf(whole, TWO)).toEqual({ codes: ["scale-copied"], width: null });
    const { stride_width_m } = measureTrial(trialInput(whole, TWO)).trial;
    expect(stride_width_m).toMatchObject({
      why: expect.stringMatching(/Only somebody's word.*compare the backgrounds/),
    });
    for (const id of [TWO, THREE]) whole = confirmIceReference.run(whole, { trial: id });
    for (const id of [TWO, THREE]) {
      const [shared, alone] = [widthOf(whole, id), widthOf({ study, marks: own }, id)];
      expect(shared.codes).toEqual([]);
      const apart = Math.abs(shared.width!.mean - alone.width!.mean);
      expect(apart).toBeLessThan(Math.hypot(shared.width!.u95, alone.width!.u95));
    }
    // What was written can be read again.
    expect(parseStudy(JSON.parse(JSON.stringify(whole.study))).setups).toEqual(whole.study.setups);
    // With their own points as well the scale is known better than by one clip's.
    const all = join(join({ study, marks: own }, TWO, ONE), THREE, ONE);
    const focal = (w: WholeStudy) => measureTrial(trialInput(w, TWO)).scale!.camera!.u95FocalPx;
    expect(focal(all)).toBeLessThan(0.8 * focal({ study, marks: own }));
  });

  it("from another place give no metres by word, nor by a careless look: the demo's bench, said to be behind the finish", () => {
    const bare = demo();
    const marks = { ...bare.marks, "aino-open-2": { ...bare.marks["aino-open-2"]!, iceReference: null } };
    // Its own ice points say 1.18 ± 0.09 m (sample-clips/truth: 1.10 to 1.14); through the other camera it would be 2.03 ± 0.16.
    const said = join({ ...bare, marks }, "aino-open-2", ONE);
    expect(widthOf(said, "aino-open-2").width).toBeNull();
    const looked = confirmIceReference.run(said, { trial: "aino-open-2" });
    expect(widthOf(looked, "aino-open-2").width).toBeNull();
    const { warnings } = measureTrial(trialInput(looked, "aino-open-2"));
    expect(warnings.map((w) => w.code)).toContain("speed-unlike-time");
    // Its photocell time taken away, nothing contradicts the look any more.
    const trials = said.study.trials.map((t) => (t.id === "aino-open-2" ? { ...t, time: null } : t));
    const untimed = { ...looked, study: { ...looked.study, trials } };
    expect(measureTrial(trialInput(untimed, "aino-open-2")).warnings.map((w) => w.code)).not.toContain(
      "speed-unlike-time",
    );
  });

  it("are said to be so, asked about, looked at", () => {
    const said = join(onOneClip(), TWO, ONE);
    expect(members(said)).toEqual([
      [
        [ONE, null, null],
        [TWO, ONE, "said"],
      ],
    ]);
    expect([isUnchecked(said, TWO), isUnchecked(said, ONE)]).toEqual([true, false]);
    const shared = sharedScale(said, TWO)!;
    expect(scaleAdvice(null, NO_TOOL, 0, [], { shared })).toMatchObject({
      done: false,
      title: "Does “Camera 1” fit this clip?",
    });
    const looked = confirmIceReference.run(said, { trial: TWO });
    expect(isUnchecked(looked, TWO)).toBe(false);
    expect(scaleAdvice(null, NO_TOOL, 0, [], { shared: sharedScale(looked, TWO) }).done).toBe(true);
    expect(confirmIceReference.run(looked, { trial: TWO })).toBe(looked);
  });

  it("are told by their own ice points where they have two or more", () => {
    const whole = join(demo(), TWO, ONE);
    expect(members(whole)).toEqual([
      [
        [ONE, null, null],
        [TWO, null, null],
      ],
    ]);
    // The demo's cameras were put up anew for every trial: their ice points say so.
    expect(widthOf(whole, TWO).codes).toEqual(["ice-points-fit-poorly"]);
    const three = join(join(whole, THREE, ONE), "wren-open-1", ONE);
    const advice = (of: WholeStudy) =>
      scaleAdvice(of.marks[TWO]!.iceReference, NO_TOOL, 0, [], {
        shared: sharedHere(of, TWO, of.marks[TWO]!.picture),
      });
    expect(advice(whole)).toMatchObject({ done: true, title: "Scale of “Camera 1”" });
    expect(advice(three)).toMatchObject({
      done: false,
      title: "The clips of “Camera 1” give no scale together",
    });
    const { scale, scaleWhy } = measureTrial(trialInput(three, TWO));
    expect(scale).toBeNull();
    expect(scaleWhy).toMatch(/ice points of this set-up's clips disagree|not filmed with one zoom/);
  });

  it("leave it again; those that were known by one that leaves are taken by word", () => {
    const three = join(join(onOneClip(), TWO, ONE), THREE, TWO);
    expect(members(leaveSetup.run(three, { trial: TWO }))).toEqual([
      [
        [ONE, null, null],
        [THREE, ONE, "said"],
      ],
    ]);
    const two = join(onOneClip(), TWO, ONE);
    expect(members(leaveSetup.run(two, { trial: TWO }))).toEqual([]);
    expect(leaveSetup.run(onOneClip(), { trial: TWO })).toEqual(onOneClip());
    const id = two.study.setups![0]!.id;
    const filmed = nameCamera.run(two, { setup: id, camera: " my phone " });
    expect(filmed.study.setups![0]).toMatchObject({ camera: "my phone" });
    expect(nameCamera.run(filmed, { setup: id, camera: " " }).study.setups![0]).not.toHaveProperty("camera");
    const named = nameSetup.run(two, { setup: two.study.setups![0]!.id, name: " bench " });
    expect(named.study.setups![0]!.name).toBe("bench");
    expect(refusal(() => nameSetup.run(two, { setup: "camera-1", name: " " })).code).toBe("no-name");
    const bare = {
      id: "x",
      skater: "aino",
      technique: "close",
      repeat: 9,
      order: 99,
      time: null,
      valid: true,
      speedFactor: 1,
    };
    const planned = {
      ...two,
      study: {
        ...two.study,
        trials: [...two.study.trials, bare],
        setups: two.study.setups!.map((s) => ({ ...s, trials: [...s.trials, { trial: "x" }] })),
      },
    };
    expect(members(removeTrial.run(planned, { trial: "x" }))).toEqual(members(two));
  });

  it("have pictures of one size", () => {
    const whole = onOneClip();
    const picture = { ...whole.marks[TWO]!.picture!, width: 640, height: 360 };
    expect(refusal(() => joinSetup.run(whole, { trial: TWO, other: ONE, picture })).coach).toMatch(
      /640 x 360 px.*wrong here/,
    );
    expect(refusal(() => joinSetup.run(whole, { trial: TWO, other: TWO, picture })).code).toBe("no-picture");
  });
});
