import { describe, expect, it } from "vitest";
import { withCarriedAnswers } from "../../app/places/measure/guide/armQuestion.ts";
import { guide, oneBack, openFrames } from "../../app/places/measure/guide/guide.ts";
import type { GuideInput } from "../../app/places/measure/guide/guideStep.ts";
import { type Asked, depthOf } from "../../app/places/measure/guide/sequence.ts";
import type { Band, EventFrame, EventName, Mark } from "../../src/study/types.ts";
import { bareStudy, marksWith, PICTURE } from "./fakeStudy.ts";
import { answerAll, event, FPS, input } from "./guideInput.ts";

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
