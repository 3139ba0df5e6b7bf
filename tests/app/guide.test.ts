import { describe, expect, it } from "vitest";
import { FIRST_PASS, markInPass } from "../../app/places/measure/core/pass.ts";
import { frameAt, proposals } from "../../app/places/measure/core/proposals.ts";
import { drawnOnFrame } from "../../app/places/measure/core/trialView.ts";
import { withCarriedAnswers } from "../../app/places/measure/guide/armQuestion.ts";
import { guide, oneBack, openFrames } from "../../app/places/measure/guide/guide.ts";
import type { GuideInput } from "../../app/places/measure/guide/guideStep.ts";
import { skipped } from "../../app/places/measure/guide/repeatPass.ts";
import { rhythmOf, rhythmOfOthers } from "../../app/places/measure/guide/rhythm.ts";
import { type Asked, depthOf } from "../../app/places/measure/guide/sequence.ts";
import type { Band, EventFrame, EventName, Mark, Side } from "../../src/study/types.ts";
import { bareStudy, marksWith, PICTURE } from "./fakeStudy.ts";

const FPS = 60;
const TIMES = Array.from({ length: 300 }, (_, i) => i / FPS);
const event = (name: EventName, side: Side, frame: number): EventFrame => ({
  event: name,
  side,
  frame,
  time: frame / FPS,
});

function input(parts: Partial<GuideInput> = {}): GuideInput {
  return {
    marks: marksWith({}),
    frame: 0,
    times: TIMES,
    speedFactor: 1,
    depth: "recovery",
    doubted: [],
    others: null,
    override: null,
    askAgain: null,
    leftOpen: [],
    pass: FIRST_PASS,
    ...parts,
  };
}

/** Answers everything the guide asks on the frame, as a person would; returns what was asked. */
function answerAll(start: GuideInput): { asked: string[]; end: GuideInput } {
  const asked: string[] = [];
  let now = start;
  for (let i = 0; i < 30; i++) {
    const step = guide(now);
    if (step.kind !== "point") return { asked, end: now };
    asked.push(step.title);
    const mark: Mark = {
      frame: now.frame,
      time: now.frame / FPS,
      point: step.point,
      side: step.side,
      xPx: i,
      yPx: i,
    };
    now = { ...now, marks: { ...now.marks, marks: [...now.marks.marks, mark] } };
  }
  throw new Error("the guide never stops asking");
}

describe("the guide", () => {
  it("asks for the first blade-off in a clip nobody has marked", () => {
    expect(guide(input())).toMatchObject({
      kind: "pick-event",
      event: "blade_off",
      side: "left",
      title: "Left blade-off",
    });
  });

  it("asks the pushing blade first, then the other blade, then the hips", () => {
    const marks = marksWith({ events: [event("blade_off", "right", 30)] });
    expect(answerAll(input({ marks, frame: 30, depth: "everything" })).asked).toEqual([
      "Right blade, heel end",
      "Right blade, toe end",
      "Left blade, heel end",
      "Left blade, toe end",
      "Left hip",
      "Right hip",
    ]);
  });

  it("asks of each stride only what the question needs", () => {
    const asked = (name: EventName, depth: GuideInput["depth"]) => {
      const marks = marksWith({ events: [event(name, "left", 30)] });
      return answerAll(input({ marks, frame: 30, depth })).asked.length;
    };
    // The blade's two ends; with them both hips; the other blade for the separation alone; three points of an arm.
    expect(["width", "recovery", "arms", "everything"].map((d) => asked("blade_off", d as "width"))).toEqual([
      2, 4, 2, 6,
    ]);
    expect(
      ["width", "recovery", "arms", "everything"].map((d) => asked("recovery_min", d as "width")),
    ).toEqual([0, 4, 0, 4]);
    expect(["width", "recovery", "arms", "everything"].map((d) => asked("arm_back", d as "width"))).toEqual([
      0, 0, 3, 3,
    ]);
  });

  it("takes the question from the bands where nobody chose", () => {
    const study = bareStudy().study;
    const banded = (quantity: Band["quantity"]) =>
      depthOf({ ...study, techniques: [{ id: "open", name: "open", asked: [{ quantity, max: 0.1 }] }] });
    expect(depthOf(study)).toBe("width");
    expect(banded("touchdown_to_track_midline_m")).toBe("width");
    expect(banded("recovery_to_midline_m")).toBe("recovery");
    expect(banded("blade_separation_m")).toBe("everything");
    expect(depthOf({ ...study, markingDepth: "arms" })).toBe("arms");
  });

  it("asks for hips once where frames are fewer than four apart", () => {
    const hips = (frame: number) =>
      (["left", "right"] as const).map(
        (side): Mark => ({ frame, time: frame / FPS, point: "hip", side, xPx: 1, yPx: 1 }),
      );
    // So many frames with hips tell how well hips are marked; before, every event frame has its own.
    const before = Array.from({ length: 14 }, (_, i) => hips(100 + 10 * i)).flat();
    const at = (frame: number, frameInterval = 1 / FPS, others = before) => {
      const picture = { ...PICTURE, frameInterval };
      const put = [...hips(30), ...others];
      const marks = marksWith({ events: [event("blade_off", "right", frame)], marks: put, picture });
      return answerAll(input({ marks, frame })).asked.filter((title) => /hip/.test(title)).length;
    };
    expect([26, 27, 33, 34].map((frame) => at(frame))).toEqual([2, 0, 0, 2]);
    expect(at(32, 1 / FPS, [])).toBe(2);
    // A slow camera's frames are too long apart.
    expect(at(32, 1 / 30)).toBe(2);
  });

  it("puts both ends of a piece with one drag", () => {
    const marks = marksWith({ events: [event("blade_off", "left", 30)] });
    const step = guide(input({ marks, frame: 30 }));
    expect(step).toMatchObject({ point: "blade_heel", dragsTo: { point: "blade_toe", side: "left" } });
    const put = (point: "blade_heel" | "blade_toe"): Mark => ({
      ...{ frame: 30, time: 0.5, point, side: "left", xPx: 1, yPx: 1 },
    });
    const half = { ...marks, marks: [put("blade_heel")] };
    expect(guide(input({ marks: half, frame: 30 }))).toMatchObject({ point: "blade_toe", dragsTo: null });
    const bladeDone = { ...marks, marks: [put("blade_heel"), put("blade_toe")] };
    expect(guide(input({ marks: bladeDone, frame: 30 }))).toMatchObject({
      point: "hip",
      side: "left",
      dragsTo: { point: "hip", side: "right" },
    });
  });

  it("asks only blades for width and touchdown", () => {
    const marks = marksWith({ events: [event("blade_on", "left", 30)] });
    expect(answerAll(input({ marks, frame: 30, depth: "width" })).asked).toEqual([
      "Left blade, heel end",
      "Left blade, toe end",
    ]);
  });

  it("goes through a stride by itself and changes sides", () => {
    const order: string[] = [];
    let now = input({ frame: 20 });
    for (let i = 0; i < 4; i++) {
      const step = guide(now);
      if (step.kind !== "pick-event") throw new Error(`unexpected ${step.kind}`);
      order.push(step.title);
      const events = [...now.marks.events, event(step.event, step.side, now.frame)];
      now = answerAll({ ...now, marks: { ...now.marks, events } }).end;
      now = { ...now, depth: "width", frame: now.frame + 7 };
    }
    expect(order).toEqual(["Left blade-off", "Left blade-on", "Right blade-off", "Right blade-on"]);
  });

  it("places nearest the midline itself once the blade has come down, for one look", () => {
    const events = [event("blade_off", "left", 30), event("blade_on", "left", 50)];
    const { end } = answerAll(input({ marks: marksWith({ events }), frame: 30 }));
    const down = answerAll({ ...end, frame: 50 }).end;
    // 0.8 of a recovery of 20 frames.
    expect(guide(down)).toMatchObject({ kind: "pick-event", event: "recovery_min", suggested: 46 });
    // Whoever puts the blade there picks the frame with it, there or on a better one.
    for (const frame of [46, 44]) {
      expect(guide({ ...down, frame })).toMatchObject({
        kind: "point",
        point: "blade_heel",
        becomes: { event: "recovery_min", side: "left" },
      });
    }
    // Where no blade is nearest a press puts nothing.
    expect(guide({ ...down, frame: 34 })).toMatchObject({ kind: "pick-event", event: "recovery_min" });
  });

  it("picks both arms' extremes at once", () => {
    const off = [event("blade_off", "left", 30)];
    const marks = marksWith({ events: off });
    const done = answerAll(input({ marks, frame: 30, depth: "arms" })).end;
    expect(guide(done)).toMatchObject({
      kind: "pick-event",
      event: "arm_front",
      side: "left",
      also: [{ event: "arm_back", side: "right" }],
      title: "Left arm front, right arm back",
    });
    // One picked by itself: the other is looked for on its frame.
    const alone = marksWith({ events: [...off, event("arm_back", "left", 33)] });
    const asked = answerAll(input({ marks: alone, frame: 33, depth: "arms" })).end;
    const one = guide({ ...asked, leftOpen: ["elbow", "wrist"].map((j) => `arm_back left 33 ${j}`) });
    expect(one).toMatchObject({ kind: "pick-event", event: "arm_front", side: "right", also: [] });
  });

  it("asks what the person chose instead of what comes next", () => {
    const step = guide(input({ override: { event: "blade_on", side: "right" } }));
    expect(step).toMatchObject({ kind: "pick-event", event: "blade_on", side: "right" });
  });

  it("does not ask again for what can't be seen", () => {
    const marks = marksWith({
      events: [event("blade_on", "left", 30)],
      notSeen: [{ frame: 30, point: "blade_heel", side: "left" }],
    });
    expect(answerAll(input({ marks, frame: 30, depth: "width" })).asked).toEqual(["Left blade, toe end"]);
  });

  it("goes back one answer at a time, and to the last one after all are given", () => {
    const marks = marksWith({ events: [event("blade_on", "left", 30)] });
    const fresh = input({ marks, frame: 30, depth: "width" });
    expect(oneBack(fresh)).toBeNull();
    const { end } = answerAll(fresh);
    expect(oneBack(end)).toEqual({ point: "blade_toe", side: "left" });
    const again = { ...end, askAgain: { point: "blade_toe", side: "left" } as const };
    expect(guide(again)).toMatchObject({ kind: "point", title: "Left blade, toe end", replaces: { xPx: 1 } });
    expect(oneBack(again)).toEqual({ point: "blade_heel", side: "left" });
  });

  it("sends on to what is still open, and asks for an event that was passed over", () => {
    const events = [
      event("blade_off", "left", 20),
      event("blade_on", "left", 36),
      event("blade_off", "right", 40),
    ];
    const marks = marksWith({ events });
    expect(guide(input({ marks, frame: 38, depth: "width" }))).toMatchObject({
      kind: "go-to-event",
      event: { frame: 40 },
    });
    expect(guide(input({ marks, frame: 25, depth: "width" }))).toMatchObject({
      kind: "go-to-event",
      event: { frame: 36 },
    });
    const missed = marksWith({ events: [events[0] as EventFrame, event("blade_off", "left", 60)] });
    expect(guide(input({ marks: missed, frame: 25, depth: "width" }))).toMatchObject({
      kind: "pick-event",
      event: "blade_on",
      side: "left",
    });
  });

  it("leads to the first picked event from the frames before it, unless an earlier push is chosen", () => {
    const marks = marksWith({ events: [event("blade_off", "right", 108)] });
    expect(guide(input({ marks }))).toMatchObject({
      kind: "go-to-event",
      event: { frame: 108 },
      title: "First: right blade-off",
    });
    const earlier: Asked = { event: "blade_off", side: "left" };
    expect(guide(input({ marks, override: earlier }))).toMatchObject({ kind: "pick-event", ...earlier });
  });

  it("asks for both joints of an arm once, and carries the answers on to the next strides", () => {
    const front = event("arm_front", "left", 30);
    const done = answerAll(input({ marks: marksWith({ events: [front] }), frame: 30, depth: "arms" })).end;
    expect(guide(done)).toMatchObject({ kind: "arm-question", joint: "elbow" });
    const elbow = { ...done, marks: { ...done.marks, events: [{ ...front, elbowTowardCamera: false }] } };
    expect(guide(elbow)).toMatchObject({ kind: "arm-question", joint: "wrist" });
    const open = { ...elbow, leftOpen: ["arm_front left 30 wrist"] };
    expect(guide(open).kind).toBe("pick-event");

    const said = { ...front, elbowTowardCamera: false, wristTowardCamera: true };
    const next = withCarriedAnswers([said], event("arm_front", "left", 70));
    expect(next).toEqual({ ...said, frame: 70, time: 70 / FPS, carried: ["elbow", "wrist"] });
    // Another arm, or the other extreme, has answers of its own.
    expect(withCarriedAnswers([said], event("arm_front", "right", 50)).carried).toBeUndefined();
    expect(withCarriedAnswers([said], event("arm_back", "left", 50)).carried).toBeUndefined();
    const there = input({ marks: marksWith({ events: [said, next] }), frame: 70, depth: "arms" });
    const carried = answerAll(there).end;
    expect(guide(carried).kind).not.toBe("arm-question");
    // Where the answer would change it is asked again.
    expect(guide({ ...carried, doubted: ["arm_front left 70 wrist"] })).toMatchObject({
      kind: "arm-question",
      joint: "wrist",
    });
    // "Can't tell" is not asked again at every stride either.
    const mute = event("arm_front", "left", 70);
    const untold = { ...carried, marks: { ...carried.marks, events: [front, mute] } };
    expect(
      guide({ ...untold, leftOpen: ["arm_front left 30 elbow", "arm_front left 30 wrist"] }).kind,
    ).not.toBe("arm-question");
  });

  it("names the frames that still have points to mark", () => {
    const marks = marksWith({ events: [event("blade_off", "left", 20), event("blade_on", "left", 36)] });
    const { end } = answerAll(input({ marks, frame: 20 }));
    expect(openFrames(end.marks, "recovery")).toEqual([36]);
  });
});

describe("marking again", () => {
  const put = (m: Partial<Mark>): Mark => ({
    ...{ frame: 30, time: 0.5, point: "blade_heel", side: "left", xPx: 10, yPx: 20 },
    ...m,
  });
  const events = [event("blade_off", "left", 30), event("blade_on", "left", 45)];
  const once = [put({}), put({ point: "blade_toe" }), put({ frame: 45, time: 0.75 })];
  const again = { pass: 2, observer: "" };

  it("asks for the points of the first marking only, frame by frame, and then is done", () => {
    const at = (frame: number, marks: readonly Mark[], leftOpen: readonly string[] = []) =>
      guide(input({ marks: marksWith({ events, marks }), frame, leftOpen, pass: again }));
    expect(at(0, once)).toMatchObject({ kind: "go-to-event", event: { frame: 30 } });
    expect(at(30, once)).toMatchObject({ kind: "point", title: "Left blade, heel end", done: 0, of: 2 });
    const heel = [...once, put({ pass: 2 })];
    expect(at(30, heel)).toMatchObject({ kind: "point", title: "Left blade, toe end", done: 1 });
    const both = [...heel, put({ pass: 2, point: "blade_toe" })];
    expect(at(30, both)).toMatchObject({ kind: "go-to-event", event: { frame: 45 } });
    expect(at(45, [...both, put({ frame: 45, pass: 2 })]).kind).toBe("all-again");
  });

  it("hides the marks before, and shows in the first marking only its own", () => {
    const marks = marksWith({ events, marks: [...once, put({ pass: 2, xPx: 12 })] });
    expect(drawnOnFrame(marks, 30, again).map((m) => m.xPx)).toEqual([12]);
    expect(drawnOnFrame(marks, 30, FIRST_PASS).map((m) => m.xPx)).toEqual([10, 10]);
  });

  it("goes on when a point is left out", () => {
    const now = input({ marks: marksWith({ events, marks: once }), frame: 30, pass: again });
    const left = guide({ ...now, leftOpen: [skipped(now) as string] });
    expect(left).toMatchObject({ kind: "point", title: "Left blade, toe end" });
  });

  it("tells two people's markings apart", () => {
    const theirs = put({ pass: 2, observer: "K" });
    expect(markInPass([...once, theirs], theirs, again)).toBeUndefined();
    expect(markInPass([...once, theirs], theirs, { pass: 2, observer: "K" })).toBe(theirs);
  });
});

describe("suggested frames", () => {
  /** Off to on takes 16 frames, on to the other's off 4. */
  const strides = (count: number) =>
    Array.from({ length: count }, (_, i) => {
      const side = i % 2 === 0 ? ("left" as const) : ("right" as const);
      return [event("blade_off", side, 30 + 20 * i), event("blade_on", side, 46 + 20 * i)];
    }).flat();

  it("follow the rhythm of the events already picked", () => {
    expect(proposals({ events: strides(3), times: TIMES, depth: "width", speedFactor: 1 }, 2)).toEqual([
      { event: "blade_off", side: "right", frame: 90 },
      { event: "blade_on", side: "right", frame: 106 },
    ]);
  });

  it("are not moved by one event on a wrong frame", () => {
    const events = strides(6).map((e) => (e.frame === 86 ? { ...e, frame: 89, time: 89 / FPS } : e));
    expect(proposals({ events: events, times: TIMES, depth: "width", speedFactor: 1 }, 2)).toEqual([
      { event: "blade_off", side: "left", frame: 150 },
      { event: "blade_on", side: "left", frame: 166 },
    ]);
  });

  it("are right in mid-trial after a change of what is marked", () => {
    const arms = (off: number, front: Side, back: Side) => [
      event("arm_front", front, off + 2),
      event("arm_back", back, off + 2),
    ];
    // Blades of six strides are picked, arms and nearest of the first three only.
    const events = [
      ...strides(6),
      ...[30, 50, 70].flatMap((off, i) => [
        ...arms(off, i % 2 === 0 ? "left" : "right", i % 2 === 0 ? "right" : "left"),
        event("recovery_min", i % 2 === 0 ? "left" : "right", off + 12),
      ]),
    ];
    const marks = marksWith({ events });
    const done = { ...input({ marks, depth: "everything" }), frame: 90 };
    const { end } = answerAll(done);
    expect(guide(end)).toMatchObject({ event: "arm_front", side: "right", suggested: 92 });
    const picked = [...events, ...arms(90, "right", "left").map((e) => ({ ...e, carried: [] }))];
    const on = answerAll({ ...end, marks: { ...end.marks, events: picked }, frame: 106 }).end;
    const nearest = guide({ ...on, leftOpen: [] });
    expect(nearest).toMatchObject({ kind: "pick-event", event: "recovery_min", suggested: 102 });
  });

  it("follow which hand swings forward with which blade in this trial", () => {
    const events = [
      event("blade_off", "left", 30),
      event("arm_front", "right", 32),
      event("arm_back", "left", 32),
      event("blade_off", "right", 50),
    ];
    const asked = proposals({ events: events, times: TIMES, depth: "arms", speedFactor: 1 }, 2);
    expect(asked.map(({ event: name, side }) => `${name} ${side}`)).toEqual([
      "arm_front left",
      "arm_back right",
    ]);
  });

  it("begin with the study's other trials, the same skater's first", () => {
    const whole = bareStudy();
    const slow = strides(4).map((e) => ({ ...e, frame: 2 * e.frame, time: 2 * e.time }));
    const known = { ...whole, marks: { ...whole.marks, t2: marksWith({ trial: "t2", events: slow }) } };
    const others = rhythmOfOthers(known, "t1");
    // Off to on takes 32 frames there.
    expect(
      proposals(
        { events: [event("blade_off", "left", 20)], times: TIMES, depth: "width", speedFactor: 1, others },
        1,
      ),
    ).toEqual([{ event: "blade_on", side: "left", frame: 52 }]);
  });

  it("use the clip's own times where frames are unevenly spaced", () => {
    const times = [0, 0.01, 0.02, 0.3, 0.31, 0.32, 0.9];
    expect(frameAt(times, 0.28)).toBe(3);
    expect(frameAt(times, 0.15)).toBe(2);
    expect(frameAt(times, 5)).toBe(6);
    expect(frameAt(times, -1)).toBe(0);
  });

  it("wait eight times as long in a clip that plays eight times slower", () => {
    const long = Array.from({ length: 3000 }, (_, i) => i / FPS);
    const [life] = proposals(
      { events: [event("blade_off", "left", 20)], times: long, depth: "width", speedFactor: 1 },
      1,
    );
    const [slow] = proposals(
      { events: [event("blade_off", "left", 20)], times: long, depth: "width", speedFactor: 8 },
      1,
    );
    expect(Math.abs((slow?.frame ?? 0) - 20 - 8 * ((life?.frame ?? 0) - 20))).toBeLessThanOrEqual(4);
    expect(rhythmOf(strides(3), 8).recovery[0]?.size).toBeCloseTo(16 / FPS / 8, 12);
  });

  it("stop at the end of the clip, and start with nothing", () => {
    expect(
      proposals(
        { events: [event("blade_off", "left", 298)], times: TIMES, depth: "width", speedFactor: 1 },
        4,
      ),
    ).toEqual([]);
    expect(proposals({ events: [], times: TIMES, depth: "width", speedFactor: 1 }, 4)).toEqual([]);
  });
});
