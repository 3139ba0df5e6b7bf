import { describe, expect, it } from "vitest";
import { frameAt, proposals } from "../../app/places/measure/core/proposals.ts";
import { guide } from "../../app/places/measure/guide/guide.ts";
import { rhythmOf, rhythmOfOthers } from "../../app/places/measure/guide/rhythm.ts";
import type { Side } from "../../src/study/types.ts";
import { bareStudy, marksWith } from "./fakeStudy.ts";
import { answerAll, event, FPS, input, TIMES } from "./guideInput.ts";

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
