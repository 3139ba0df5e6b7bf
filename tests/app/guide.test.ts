import { describe, expect, it } from "vitest";
import { FIRST_PASS, markInPass } from "../../app/places/measure/core/pass.ts";
import { frameAt, proposals, usualGap } from "../../app/places/measure/core/proposals.ts";
import { drawnOnFrame } from "../../app/places/measure/core/trialView.ts";
import { guide, oneBack, openFrames } from "../../app/places/measure/guide/guide.ts";
import type { GuideInput } from "../../app/places/measure/guide/guideStep.ts";
import { skipped } from "../../app/places/measure/guide/repeatPass.ts";
import { type Asked, nextAsked, pointsFor } from "../../app/places/measure/guide/sequence.ts";
import type { EventFrame, EventName, Mark, Side } from "../../src/study/types.ts";
import { marksWith } from "./fakeStudy.ts";

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
    depth: "full",
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
    expect(answerAll(input({ marks, frame: 30 })).asked).toEqual([
      "Right blade, heel end",
      "Right blade, toe end",
      "Left blade, heel end",
      "Left blade, toe end",
      "Left hip",
      "Right hip",
    ]);
  });

  it("asks only blades in the quick pass", () => {
    const marks = marksWith({ events: [event("blade_on", "left", 30)] });
    expect(answerAll(input({ marks, frame: 30, depth: "quick" })).asked).toEqual([
      "Left blade, heel end",
      "Left blade, toe end",
    ]);
  });

  it("goes through a stride by itself and changes sides", () => {
    const order: string[] = [];
    let now = input({ frame: 20 });
    for (let i = 0; i < 7; i++) {
      const step = guide(now);
      if (step.kind !== "pick-event") throw new Error(`unexpected ${step.kind}`);
      order.push(step.title);
      const events = [...now.marks.events, event(step.event, step.side, now.frame)];
      now = answerAll({ ...now, marks: { ...now.marks, events } }).end;
      now = { ...now, frame: now.frame + 7 };
    }
    expect(order).toEqual([
      "Left blade-off",
      "Left blade nearest the midline",
      "Left blade-on",
      "Right blade-off",
      "Right blade nearest the midline",
      "Right blade-on",
      "Left blade-off",
    ]);
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
    expect(answerAll(input({ marks, frame: 30, depth: "quick" })).asked).toEqual(["Left blade, toe end"]);
  });

  it("goes back one answer at a time, and to the last one after all are given", () => {
    const marks = marksWith({ events: [event("blade_on", "left", 30)] });
    const fresh = input({ marks, frame: 30, depth: "quick" });
    expect(oneBack(fresh)).toBeNull();
    const { end } = answerAll(fresh);
    expect(oneBack(end)).toEqual({ point: "blade_toe", side: "left" });
    const again = { ...end, askAgain: { point: "blade_toe", side: "left" } as const };
    expect(guide(again)).toMatchObject({ kind: "point", title: "Left blade, toe end", replaces: { xPx: 1 } });
    expect(oneBack(again)).toEqual({ point: "blade_heel", side: "left" });
  });

  it("sends on to an event that is already picked, and asks for one that was passed over", () => {
    const events = [
      event("blade_off", "left", 20),
      event("blade_on", "left", 36),
      event("blade_off", "right", 40),
    ];
    const marks = marksWith({ events });
    expect(guide(input({ marks, frame: 38, depth: "full" }))).toMatchObject({
      kind: "go-to-event",
      event: { frame: 40 },
    });
    expect(guide(input({ marks, frame: 25 }))).toMatchObject({
      kind: "pick-event",
      event: "recovery_min",
      side: "left",
    });
    expect(guide(input({ marks, frame: 25, depth: "quick" }))).toMatchObject({
      kind: "go-to-event",
      event: { frame: 36 },
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

  it("asks for both joints of an arm, once each", () => {
    const front = event("arm_front", "left", 30);
    const done = answerAll(input({ marks: marksWith({ events: [front] }), frame: 30, depth: "arms" })).end;
    expect(guide(done)).toMatchObject({ kind: "arm-question", joint: "elbow" });
    const elbow = { ...done, marks: { ...done.marks, events: [{ ...front, elbowTowardCamera: false }] } };
    expect(guide(elbow)).toMatchObject({ kind: "arm-question", joint: "wrist" });
    const open = { ...elbow, leftOpen: ["arm_front left 30 wrist"] };
    expect(guide(open)).toMatchObject({ kind: "pick-event", event: "arm_back", side: "right" });
  });

  it("names the frames that still have points to mark", () => {
    const marks = marksWith({ events: [event("blade_off", "left", 20), event("blade_on", "left", 36)] });
    const { end } = answerAll(input({ marks, frame: 20 }));
    expect(openFrames(end.marks, "full")).toEqual([36]);
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

describe("the order of a stride", () => {
  it("never asks for the same thing twice in a row, whatever the pass", () => {
    for (const depth of ["quick", "full", "arms"] as const) {
      let asked: Asked = { event: depth === "arms" ? "arm_front" : "blade_off", side: "left" };
      const seen = new Set<string>();
      for (let i = 0; i < 12; i++) {
        const next = nextAsked(asked, depth);
        expect(next).not.toEqual(asked);
        seen.add(`${next.event} ${next.side}`);
        asked = next;
      }
      // Every event of the pass on both sides comes up.
      expect(seen.size).toBe(depth === "full" ? 6 : 4);
    }
  });

  it("asks six points at a blade-off and four at the others", () => {
    expect(pointsFor({ event: "blade_off", side: "left" }, "full")).toHaveLength(6);
    expect(pointsFor({ event: "recovery_min", side: "left" }, "full")).toHaveLength(4);
    expect(pointsFor({ event: "arm_back", side: "left" }, "arms")).toHaveLength(3);
  });
});

describe("suggested frames", () => {
  it("follow the rhythm of the events already picked", () => {
    // Off to on takes 16 frames, on to the other's off 4: the next off lies 4 frames after the last on.
    const events = [0, 20, 40].flatMap((at, i) => {
      const side = i % 2 === 0 ? ("left" as const) : ("right" as const);
      return [event("blade_off", side, 30 + at), event("blade_on", side, 46 + at)];
    });
    expect(proposals(events, TIMES, "quick", 1, 2)).toEqual([
      { event: "blade_off", side: "right", frame: 90 },
      { event: "blade_on", side: "right", frame: 106 },
    ]);
  });

  it("use the clip's own times where frames are unevenly spaced", () => {
    const times = [0, 0.01, 0.02, 0.3, 0.31, 0.32, 0.9];
    expect(frameAt(times, 0.28)).toBe(3);
    expect(frameAt(times, 0.15)).toBe(2);
    expect(frameAt(times, 5)).toBe(6);
    expect(frameAt(times, -1)).toBe(0);
  });

  it("wait eight times as long in a clip that plays eight times slower", () => {
    const events = [event("blade_off", "left", 20)];
    const next = { event: "blade_on", side: "left" } as const;
    const life = usualGap(events, next, "quick", 1);
    expect(life.fromHere).toBe(false);
    expect(usualGap(events, next, "quick", 8).seconds).toBeCloseTo(8 * life.seconds, 12);
  });

  it("stop at the end of the clip, and start with nothing", () => {
    expect(proposals([event("blade_off", "left", 298)], TIMES, "quick", 1, 4)).toEqual([]);
    expect(proposals([], TIMES, "quick", 1, 4)).toEqual([]);
  });
});
