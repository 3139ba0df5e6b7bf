import { describe, expect, it } from "vitest";
import type { Command } from "../../app/commands/Command.ts";
import { linkClip } from "../../app/commands/clips/linkClip.ts";
import { moveClip } from "../../app/commands/clips/moveClip.ts";
import { addSkater } from "../../app/commands/plan/addSkater.ts";
import { addTechnique } from "../../app/commands/plan/addTechnique.ts";
import { editSkater } from "../../app/commands/plan/editSkater.ts";
import { editTechnique } from "../../app/commands/plan/editTechnique.ts";
import { makeRunOrder } from "../../app/commands/plan/makeRunOrder.ts";
import { removeSkater } from "../../app/commands/plan/removeSkater.ts";
import { removeTechnique } from "../../app/commands/plan/removeTechnique.ts";
import { setCameraPlan } from "../../app/commands/plan/setCameraPlan.ts";
import { setCompared } from "../../app/commands/plan/setCompared.ts";
import { setLane } from "../../app/commands/plan/setLane.ts";
import { setQuestion } from "../../app/commands/plan/setQuestion.ts";
import { setWorthwhile } from "../../app/commands/plan/setWorthwhile.ts";
import { takeQuestion } from "../../app/commands/plan/takeQuestion.ts";
import { addTrial } from "../../app/commands/trials/addTrial.ts";
import { removeTrial } from "../../app/commands/trials/removeTrial.ts";
import { setNote } from "../../app/commands/trials/setNote.ts";
import { setTime } from "../../app/commands/trials/setTime.ts";
import { setTimes } from "../../app/commands/trials/setTimes.ts";
import { setValid } from "../../app/commands/trials/setValid.ts";
import { firstPlan } from "../../app/places/plan/camera/laneView.ts";
import { createSession, perform, undo } from "../../app/store/session.ts";
import { MeasureError } from "../../src/errors.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import type { Study, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";

const NEW: WholeStudy = { study: newStudy(), marks: {} };

/** Three skaters, two techniques, planned through the commands themselves. */
function planned(): WholeStudy {
  let whole = NEW;
  for (const name of ["Aino", "Bea", "Signe"]) whole = addSkater.run(whole, { name });
  for (const name of ["close recovery", "open recovery"]) whole = addTechnique.run(whole, { name });
  return makeRunOrder.run(whole, { repeats: 2, seed: 7 });
}

const first = (whole: WholeStudy) => whole.study.trials[0]!;
const clip = (id: string) => ({ id, name: `${id}.mp4`, path: `clips/${id}.mp4`, bytes: 1 });

function marked(trial: string, on: string): TrialMarks {
  return {
    ...emptyMarks(trial),
    picture: { clip: on, width: 1920, height: 1080, frameInterval: 1 / 60 },
    events: [{ event: "blade_off", side: "left", frame: 9, time: 0.15 }],
  };
}

function refusal<Args>(whole: WholeStudy, command: Command<Args>, args: Args): string {
  try {
    command.run(whole, args);
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
  throw new Error(`${command.name} did it although it should not`);
}

describe("planning", () => {
  it("keeps a camera tried out, through the file and back, and refuses one below the ice", () => {
    const plan = { ...firstPlan(30), x: -12 };
    const whole = setCameraPlan.run(NEW, { plan, what: "where the camera stands" });
    expect(parseStudy(JSON.parse(JSON.stringify(whole.study))).cameraPlan).toEqual(plan);
    const sunk = { plan: { ...plan, height: -1 }, what: "the camera's height" };
    expect(refusal(NEW, setCameraPlan, sunk)).toMatch(/above the ice/);
  });

  it("leads from nothing to a study that can be saved and read again", () => {
    const whole = planned();
    expect(whole.study.trials).toHaveLength(12);
    expect(whole.study.skaters.map((s) => s.code)).toEqual(["S1", "S2", "S3"]);
    expect(parseStudy(JSON.parse(JSON.stringify(whole.study)))).toEqual(whole.study);
    expect(NEW.study).toEqual(newStudy());
  });

  it("can be undone step by step, and records nothing where nothing changes", () => {
    const session = createSession({
      ...planned(),
      folder: "x",
      readOnly: false,
      notices: [],
      position: null,
      ...{ owner: null, steps: [], stepsMade: 0 },
    });
    const before = session.getState().whole;
    perform(session, setQuestion, { question: "Which is faster?" });
    perform(session, setQuestion, { question: " Which is faster? " });
    perform(session, setLane, { change: { distance: 30, gates: [0, 30] }, what: "the lane" });
    perform(session, setTime, { trial: first(before).id, text: "4,71" });
    perform(session, setWorthwhile, { text: "0.04" });
    perform(session, setCompared, { a: "open-recovery", b: "close-recovery" });
    perform(session, setNote, { trial: first(before).id, note: "new ice" });
    expect(session.getState().past).toHaveLength(6);
    expect(session.getState().whole.study).toMatchObject({ question: "Which is faster?", worthwhile: 0.04 });
    for (let i = 0; i < 6; i++) undo(session);
    expect(session.getState().whole).toBe(before);
  });

  it("lets the gates follow the distance until somebody puts them elsewhere", () => {
    const lane = (whole: WholeStudy, change: Partial<Study["lane"]>) =>
      setLane.run(whole, { change, what: "" });
    const empty = { study: newStudy(), marks: {} };
    const first30 = lane(empty, { distance: 30 });
    expect(first30.study.lane.gates).toEqual([0, 30]);
    expect(lane(first30, { distance: 20 }).study.lane.gates).toEqual([0, 20]);
    const own = lane(first30, { gates: [0, 15, 30] });
    expect(lane(own, { distance: 40 }).study.lane.gates).toEqual([0, 15, 30]);
    expect(lane(first30, { gateBeam: "dual" }).study.lane.gates).toEqual([0, 30]);
  });

  it("refuses what nobody can have meant, in words", () => {
    const whole = planned();
    expect(refusal(whole, addSkater, { name: " aino " })).toMatch(/already a skater called aino/);
    expect(refusal(whole, addTechnique, { name: "" })).toMatch(/needs a name/);
    expect(refusal(whole, setLane, { change: { gates: [0, 30, 15] }, what: "" })).toMatch(
      /15 m is not beyond/,
    );
    expect(refusal(whole, setLane, { change: { distance: 30000 }, what: "" })).toMatch(/up to 1000 m/);
    expect(
      refusal(whole, editSkater, { skater: "aino", change: { body: { hipHeight: 73 } }, what: "" }),
    ).toMatch(/73 m is no such length/);
    const asked = [{ quantity: "stride_width_m", min: 1, max: 0.5 }] as const;
    expect(
      refusal(whole, editTechnique, { technique: "close-recovery", change: { asked }, what: "" }),
    ).toMatch(/Nothing lies from 1 to 0.5/);
    expect(refusal(whole, setWorthwhile, { text: "40" })).toMatch(/few hundredths/);
  });

  it("takes skaters and techniques out with their planned trials, but not once they have skated", () => {
    const whole = planned();
    const without = removeSkater.run(whole, { skater: "bea", name: "Bea" });
    expect(without.study.trials.some((t) => t.skater === "bea")).toBe(false);
    const one = removeTechnique.run(whole, { technique: "open-recovery", name: "open recovery" });
    expect(one.study.trials.every((t) => t.technique === "close-recovery")).toBe(true);
    const timed = setTime.run(whole, { trial: first(whole).id, text: "4.7" });
    const { skater, technique, id } = first(whole);
    expect(refusal(timed, removeSkater, { skater, name: "She" })).toMatch(/void in Times/);
    expect(refusal(timed, removeTechnique, { technique, name: "It" })).toMatch(/stays in the study/);
    expect(refusal(timed, removeTrial, { trial: id })).toMatch(/void instead/);
  });

  it("never changes the order of those who have begun, and adds the others after them", () => {
    const whole = planned();
    const timed = setTime.run(whole, { trial: first(whole).id, text: "4.7" });
    const { skater } = first(whole);
    const own = (w: WholeStudy) => w.study.trials.filter((t) => t.skater === skater);
    const again = makeRunOrder.run(timed, { repeats: 3, seed: 99 });
    expect(own(again)).toEqual(own(timed));
    expect(again.study.trials).toHaveLength(4 + 2 * 6);
    const last = Math.max(...own(again).map((t) => t.order));
    expect(again.study.trials.filter((t) => t.skater !== skater).every((t) => t.order > last)).toBe(true);
    expect(new Set(again.study.trials.map((t) => t.id)).size).toBe(16);
  });
});

describe("times", () => {
  it("pastes down the run order from where one stands, and leaves blanks alone", () => {
    const whole = planned();
    const inOrder = whole.study.trials.slice().sort((a, b) => a.order - b.order);
    const pasted = setTimes.run(whole, { from: inOrder[2]!.id, times: [4.71, null, 4.8] });
    const times = inOrder.map((t) => pasted.study.trials.find((p) => p.id === t.id)!.time);
    expect(times.slice(0, 6)).toEqual([null, null, 4.71, null, 4.8, null]);
  });

  it("pastes nothing when there are more times than trials left", () => {
    const whole = planned();
    const last = whole.study.trials.find((t) => t.order === 12)!;
    expect(refusal(whole, setTimes, { from: last.id, times: [4.7, 4.8] })).toMatch(/only 1 trials? /);
  });

  it("keeps a void trial and its time, and adds one more trial like it", () => {
    const whole = planned();
    const timed = setTime.run(whole, { trial: first(whole).id, text: "9.9" });
    const voided = setValid.run(timed, { trial: first(whole).id, valid: false });
    expect(first(voided)).toMatchObject({ time: 9.9, valid: false });
    const { skater, technique } = first(whole);
    const more = addTrial.run(voided, { skater, technique }).study.trials.at(-1);
    expect(more).toMatchObject({ skater, technique, repeat: 3, order: 13, time: null, valid: true });
  });
});

describe("clips", () => {
  const two = () => {
    const whole = planned();
    const [a, b] = whole.study.trials;
    return { whole, a: a!.id, b: b!.id };
  };

  it("moves with its marks and speed factor, and leaves time and note where they are", () => {
    const { whole, a, b } = two();
    let start = linkClip.run(setTime.run(whole, { trial: a, text: "4.7" }), { trial: a, clip: clip("c1") });
    start = {
      study: {
        ...start.study,
        trials: start.study.trials.map((t) => (t.id === a ? { ...t, speedFactor: 8 } : t)),
      },
      marks: { [a]: marked(a, "c1") },
    };
    const moved = moveClip.run(start, { from: a, to: b, name: "c1.mp4" });
    const trial = (id: string) => moved.study.trials.find((t) => t.id === id);
    expect(trial(b)).toMatchObject({ clip: "c1", speedFactor: 8, time: null });
    expect(trial(a)).toMatchObject({ speedFactor: 1, time: 4.7 });
    expect(trial(a)?.clip).toBeUndefined();
    expect(moved.marks).toEqual({ [b]: { ...marked(a, "c1"), trial: b } });
    expect(moveClip.run(moved, { from: b, to: a, name: "c1.mp4" })).toEqual(start);
  });

  it("changes places with the other trial's clip and marks", () => {
    const { whole, a, b } = two();
    const start: WholeStudy = {
      study: linkClip.run(linkClip.run(whole, { trial: a, clip: clip("c1") }), { trial: b, clip: clip("c2") })
        .study,
      marks: { [a]: marked(a, "c1"), [b]: marked(b, "c2") },
    };
    const moved = moveClip.run(start, { from: a, to: b, name: "" });
    expect(moved.marks[a]?.picture?.clip).toBe("c2");
    expect(moved.marks[b]?.picture?.clip).toBe("c1");
    expect(moved.marks[a]?.trial).toBe(a);
    expect(moved.study.trials.slice(0, 2).map((t) => t.clip)).toEqual(["c2", "c1"]);
  });
});

describe("taking a question that is offered", () => {
  it("gives an empty study its question, two techniques with a band each, and which is held against which", () => {
    const { study } = takeQuestion.run(NEW, { key: "arms" });
    expect(study.question).toBe("Do arms along beat arms across?");
    const [across, along] = study.techniques;
    expect(across).toMatchObject({
      name: "arms across",
      asked: [{ quantity: "arm_swing_direction_deg", min: 60 }],
    });
    expect(along).toMatchObject({
      name: "arms along",
      asked: [{ quantity: "arm_swing_direction_deg", max: 30 }],
    });
    expect(study.compare).toEqual({ a: across!.id, b: along!.id });
    expect(study.worthwhile).toBeNull();
    expect(parseStudy(JSON.parse(JSON.stringify(study)))).toEqual(study);
  });

  it("writes over no typed question and takes a technique of the name that is there", () => {
    const mine = addTechnique.run(setQuestion.run(NEW, { question: "My own?" }), { name: "Arms along" });
    const { study } = takeQuestion.run(mine, { key: "arms" });
    expect(study.question).toBe("My own?");
    expect(study.techniques.map((t) => t.name)).toEqual(["Arms along", "arms across"]);
    expect(study.compare?.b).toBe(study.techniques[0]!.id);
  });
});
