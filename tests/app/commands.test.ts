import { describe, expect, it } from "vitest";
import { linkClip } from "../../app/commands/clips/linkClip.ts";
import { setSpeedFactor } from "../../app/commands/clips/setSpeedFactor.ts";
import { addMark } from "../../app/commands/marks/addMark.ts";
import { answerArm } from "../../app/commands/marks/answerArm.ts";
import { clearTrialMarks } from "../../app/commands/marks/clearTrialMarks.ts";
import { markNotSeen } from "../../app/commands/marks/markNotSeen.ts";
import { moveEvent } from "../../app/commands/marks/moveEvent.ts";
import { moveMark } from "../../app/commands/marks/moveMark.ts";
import { removeEvent } from "../../app/commands/marks/removeEvent.ts";
import { removeMark } from "../../app/commands/marks/removeMark.ts";
import { setEvent } from "../../app/commands/marks/setEvent.ts";
import { createSession, perform, redo, undo } from "../../app/store/session.ts";
import type { EventFrame } from "../../src/study/types.ts";
import { bareStudy, mark, marksWith, opened, PICTURE, refusal } from "./fakeStudy.ts";

const OFF: EventFrame = { event: "blade_off", side: "left", frame: 20, time: 20 / 60 };

describe("putting and moving marks", () => {
  it("keeps the mark with its frame and its own time, and binds the trial to the picture", () => {
    const after = addMark.run(bareStudy(), { trial: "t1", mark: mark(), picture: PICTURE });
    expect(after.marks.t1?.marks).toEqual([mark()]);
    expect(after.marks.t1?.picture).toEqual(PICTURE);
  });

  it("leaves the study it was given as it was", () => {
    const before = Object.freeze(bareStudy());
    addMark.run(before, { trial: "t1", mark: mark(), picture: PICTURE });
    expect(before).toEqual(bareStudy());
  });

  it("moves a point that is put again on the same frame instead of doubling it", () => {
    const once = addMark.run(bareStudy(), { trial: "t1", mark: mark(), picture: PICTURE });
    const twice = addMark.run(once, { trial: "t1", mark: mark({ xPx: 650.25 }), picture: PICTURE });
    expect(twice.marks.t1?.marks).toEqual([mark({ xPx: 650.25 })]);
  });

  it("keeps repeat marks of another pass apart", () => {
    const once = addMark.run(bareStudy(), { trial: "t1", mark: mark(), picture: PICTURE });
    const twice = addMark.run(once, { trial: "t1", mark: mark({ pass: 2 }), picture: PICTURE });
    expect(twice.marks.t1?.marks).toHaveLength(2);
  });

  // The picture reaches half a pixel beyond the centres of its outermost pixels (contracts: (0, 0) is a centre).
  it.each([
    [-0.5, 0, true],
    [-0.51, 0, false],
    [1919.5, 1079.5, true],
    [1919.6, 500, false],
    [500, 1080, false],
  ])("takes a mark at %f, %f px only inside the picture: %s", (xPx, yPx, inside) => {
    const put = () => addMark.run(bareStudy(), { trial: "t1", mark: mark({ xPx, yPx }), picture: PICTURE });
    if (inside) expect(put().marks.t1?.marks).toHaveLength(1);
    else expect(refusal(put).coach).toMatch(/outside the picture/);
  });

  it("refuses marks on another clip than the trial's, and on a picture of another size", () => {
    const before = { ...bareStudy(), marks: { t1: marksWith({}) } };
    const on = (picture: typeof PICTURE) => () => addMark.run(before, { trial: "t1", mark: mark(), picture });
    expect(refusal(on({ ...PICTURE, clip: "c2" })).code).toBe("other-clip");
    expect(refusal(on({ ...PICTURE, width: 1280 })).coach).toMatch(/1920 x 1080 px.*1280 x 1080 px/);
  });

  it("moves a mark within its frame and does nothing when it does not move", () => {
    const before = { ...bareStudy(), marks: { t1: marksWith({ marks: [mark(), mark({ side: "right" })] }) } };
    const after = moveMark.run(before, { trial: "t1", key: mark(), xPx: 601, yPx: 399.9 });
    expect(after.marks.t1?.marks).toEqual([mark({ xPx: 601, yPx: 399.9 }), mark({ side: "right" })]);
    expect(moveMark.run(before, { trial: "t1", key: mark(), xPx: 600, yPx: 400 })).toBe(before);
    expect(refusal(() => moveMark.run(before, { trial: "t1", key: mark(), xPx: -30, yPx: 5 })).code).toBe(
      "outside-picture",
    );
  });

  it("removes one mark and no other", () => {
    const before = { ...bareStudy(), marks: { t1: marksWith({ marks: [mark(), mark({ frame: 21 })] }) } };
    expect(removeMark.run(before, { trial: "t1", key: mark() }).marks.t1?.marks).toEqual([
      mark({ frame: 21 }),
    ]);
    expect(removeMark.run(before, { trial: "t1", key: mark({ frame: 99 }) })).toBe(before);
  });

  it("notes a point that can't be seen, takes its mark away, and forgets the note when it is marked after all", () => {
    const before = { ...bareStudy(), marks: { t1: marksWith({ marks: [mark()] }) } };
    const notSeen = { frame: 20, point: "blade_heel", side: "left" } as const;
    const noted = markNotSeen.run(before, { trial: "t1", notSeen });
    expect(noted.marks.t1).toMatchObject({ marks: [], notSeen: [notSeen] });
    expect(markNotSeen.run(noted, { trial: "t1", notSeen })).toBe(noted);
    const marked = addMark.run(noted, { trial: "t1", mark: mark(), picture: PICTURE });
    expect(marked.marks.t1?.notSeen).toEqual([]);
  });
});

describe("event frames", () => {
  it("are kept in order of frames, each once", () => {
    const later = { ...OFF, side: "right", frame: 41, time: 41 / 60 } as const;
    const one = setEvent.run(bareStudy(), { trial: "t1", event: later, picture: PICTURE });
    const two = setEvent.run(one, { trial: "t1", event: OFF, picture: PICTURE });
    expect(two.marks.t1?.events.map((e) => e.frame)).toEqual([20, 41]);
    expect(setEvent.run(two, { trial: "t1", event: OFF, picture: PICTURE })).toBe(two);
  });

  it("move with the new frame's time while marks stay where they were put", () => {
    const before = { ...bareStudy(), marks: { t1: marksWith({ events: [OFF], marks: [mark()] }) } };
    const move = { trial: "t1", event: "blade_off", side: "left", from: 20, to: 22, time: 22 / 60 } as const;
    const after = moveEvent.run(before, move);
    expect(after.marks.t1?.events).toEqual([{ ...OFF, frame: 22, time: 22 / 60 }]);
    expect(after.marks.t1?.marks).toEqual([mark()]);
  });

  it("do not move onto the same event of another frame", () => {
    const events = [OFF, { ...OFF, frame: 80, time: 80 / 60 }];
    const before = { ...bareStudy(), marks: { t1: marksWith({ events }) } };
    const move = { trial: "t1", event: "blade_off", side: "left", from: 20, to: 80, time: 80 / 60 } as const;
    expect(refusal(() => moveEvent.run(before, move)).coach).toBe("Frame 80 is already left blade-off.");
  });

  it("are removed without their marks", () => {
    const before = { ...bareStudy(), marks: { t1: marksWith({ events: [OFF], marks: [mark()] }) } };
    const after = removeEvent.run(before, { trial: "t1", event: "blade_off", side: "left", frame: 20 });
    expect(after.marks.t1).toMatchObject({ events: [], marks: [mark()] });
    expect(removeEvent.run(after, { trial: "t1", event: "blade_off", side: "left", frame: 20 })).toBe(after);
  });

  it("take the answer whether a joint is nearer the camera, and can be left open again", () => {
    const front: EventFrame = { event: "arm_front", side: "right", frame: 30, time: 0.5 };
    const before = { ...bareStudy(), marks: { t1: marksWith({ events: [front] }) } };
    const ask = { trial: "t1", event: "arm_front", side: "right", frame: 30, joint: "elbow" } as const;
    const yes = answerArm.run(before, { ...ask, toward: true });
    expect(yes.marks.t1?.events).toEqual([{ ...front, elbowTowardCamera: true }]);
    expect(answerArm.run(yes, { ...ask, toward: undefined }).marks.t1?.events).toEqual([front]);
  });
});

describe("trials and clips", () => {
  it("takes a speed factor that can be meant, and names the range otherwise", () => {
    const slow = setSpeedFactor.run(bareStudy(), { trial: "t1", factor: 8 });
    expect(slow.study.trials.map((t) => t.speedFactor)).toEqual([8, 1]);
    expect(setSpeedFactor.run(slow, { trial: "t1", factor: 8 })).toBe(slow);
    for (const factor of [0, -8, Number.NaN, 1e6])
      expect(refusal(() => setSpeedFactor.run(slow, { trial: "t1", factor })).coach).toMatch(
        /from 0\.1 to 100/,
      );
  });

  it("links a new clip and takes it into the study once", () => {
    const clip = { id: "c9", name: "nine.mp4", path: "clips/nine.mp4", bytes: 9 };
    const one = linkClip.run(bareStudy(), { trial: "t1", clip });
    expect(one.study.trials[0]?.clip).toBe("c9");
    const both = linkClip.run(one, { trial: "t2", clip });
    expect(both.study.clips.filter((c) => c.id === "c9")).toHaveLength(1);
    expect(linkClip.run(both, { trial: "t1", clip: null }).study.trials[0]).not.toHaveProperty("clip");
  });

  it("does not put a marked trial on another clip", () => {
    const before = { ...bareStudy(), marks: { t1: marksWith({ marks: [mark()] }) } };
    const clip = before.study.clips[1]!;
    expect(refusal(() => linkClip.run(before, { trial: "t1", clip })).coach).toMatch(
      /already marked.*"one\.mp4"/,
    );
  });

  it("clears a trial and leaves the others alone", () => {
    const other = { ...marksWith({ marks: [mark()] }), trial: "t2" };
    const before = { ...bareStudy(), marks: { t1: marksWith({ events: [OFF] }), t2: other } };
    const after = clearTrialMarks.run(before, { trial: "t1" });
    expect(after.marks.t1).toMatchObject({ picture: null, events: [], marks: [] });
    expect(after.marks.t2).toBe(other);
    expect(clearTrialMarks.run(after, { trial: "t1" })).toBe(after);
  });
});

describe("undo", () => {
  it("takes back and does again every command, by name, to the very same study", () => {
    const session = createSession(opened());
    const states = [session.getState().whole];
    const put = (frame: number) => {
      perform(session, addMark, { trial: "t1", mark: mark({ frame, time: frame / 60 }), picture: PICTURE });
      states.push(session.getState().whole);
    };
    put(20);
    put(21);
    perform(session, removeMark, { trial: "t1", key: mark({ frame: 21 }) });
    states.push(session.getState().whole);
    expect(session.getState().past.map((s) => s.label)).toEqual([
      "mark left blade, heel end",
      "mark left blade, heel end",
      "remove left blade, heel end",
    ]);
    for (const state of [...states].reverse().slice(1)) {
      undo(session);
      expect(session.getState().whole).toBe(state);
    }
    undo(session);
    for (const state of states.slice(1)) {
      redo(session);
      expect(session.getState().whole).toBe(state);
    }
    redo(session);
    expect(session.getState().future).toEqual([]);
  });

  it("records nothing for a command that changes nothing or is refused", () => {
    const session = createSession(opened());
    perform(session, removeMark, { trial: "t1", key: mark() });
    refusal(() => perform(session, addMark, { trial: "t1", mark: mark({ xPx: -50 }), picture: PICTURE }));
    expect(session.getState().past).toEqual([]);
  });

  it("forgets what was taken back once something new is done", () => {
    const session = createSession(opened());
    perform(session, setSpeedFactor, { trial: "t1", factor: 2 });
    undo(session);
    perform(session, setSpeedFactor, { trial: "t1", factor: 4 });
    expect(session.getState().future).toEqual([]);
    redo(session);
    expect(session.getState().whole.study.trials[0]?.speedFactor).toBe(4);
  });

  it("does nothing in a study open for reading only", () => {
    const session = createSession({ ...opened(), readOnly: true });
    const before = session.getState().whole;
    perform(session, setSpeedFactor, { trial: "t1", factor: 2 });
    expect(session.getState().whole).toBe(before);
  });

  it("while measuring goes back to where the step was made", () => {
    const session = createSession({ ...opened(), position: { place: "measure", trial: "t1", frame: 20 } });
    perform(session, addMark, { trial: "t1", mark: mark(), picture: PICTURE });
    session.setState({ trial: "t2", frame: 88 });
    undo(session);
    expect(session.getState()).toMatchObject({ trial: "t1", frame: 20 });
  });
});
