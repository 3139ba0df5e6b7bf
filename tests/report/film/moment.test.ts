import { describe, expect, it } from "vitest";
import {
  type Moment,
  momentFrame,
  momentWords,
  readMoment,
  sharedMoments,
  usualMoment,
  writeMoment,
} from "../../../src/report/film/moment.ts";
import { filmableTrials, pairOfSkater, usualPair } from "../../../src/report/film/usualPair.ts";
import { demo } from "../../helpers/demoReadings.ts";

const whole = demo();
const { lane } = whole.study;
const marks = (trial: string) => whole.marks[trial]!;
const event = (text: string) => readMoment(text) as Moment;

describe("what clips are lined up on", () => {
  it("is written as it is read, and nothing else is read", () => {
    for (const text of ["start", "blade_off:left:3", "recovery_min:right:12", "arm_front:left:1", "stride:5"])
      expect(writeMoment(readMoment(text)!)).toBe(text);
    for (const text of [
      ...[
        "",
        "Start",
        "blade_off",
        "blade_off:left",
        "blade_off:left:0",
        "blade_off:left:1.5",
        "blade_off:left:-1",
      ],
      ...[
        ...["stride", "stride:0", "stride:5:1", "stride:x", "Stride:5"],
        "blade_off:middle:1",
        "toString:left:1",
        "blade_off:left:1:2",
        "blade_off:left:99999",
        "blade_off:left: 1",
      ],
    ])
      expect(readMoment(text), text).toBeNull();
  });

  it("is the k-th marked event in the clip's own order, however the rows stand", () => {
    const trial = marks("aino-close-1");
    const frames = trial.events
      .filter((e) => e.event === "blade_off" && e.side === "left")
      .map((e) => e.frame);
    const sorted = frames.slice().sort((a, b) => a - b);
    const shuffled = { ...trial, events: trial.events.slice().reverse() };
    expect(sorted.length).toBeGreaterThan(1);
    sorted.forEach((frame, k) => {
      const moment = event(`blade_off:left:${k + 1}`);
      expect(momentFrame(shuffled, moment, lane, "Aino")).toEqual({ frame, offset: 0.5 });
    });
    // docs/contracts.md: blade_on is the first frame of contact, so it happened before that frame.
    expect(momentFrame(trial, event("blade_on:right:1"), lane, "Aino").offset).toBe(-0.5);
  });

  it("is refused by name where it is not marked", () => {
    const moment = event("blade_off:left:40");
    expect(() => momentFrame(marks("aino-close-1"), moment, lane, "Aino, trial 1")).toThrow(
      expect.objectContaining({
        code: "no-moment",
        coach: expect.stringMatching(/^Aino, trial 1: left blade-off is marked only \d+ times/),
      }),
    );
    const start = { kind: "start" } as const;
    expect(() => momentFrame(marks("aino-open-2"), start, lane, "Aino")).toThrow(
      expect.objectContaining({ code: "no-moment", coach: expect.stringContaining("first gate") }),
    );
    // The frame picked for the gate at 0 m, truth in the demo study's own table of gate frames.
    const passing = marks("aino-close-1").gatePassings!.find((g) => g.gate === 0)!;
    expect(momentFrame(marks("aino-close-1"), start, lane, "Aino")).toEqual({
      frame: passing.frame,
      offset: -0.5,
    });
  });

  it("offers only what all clips have, and begins with a blade-off", () => {
    const both = [marks("aino-close-1"), marks("aino-open-2")];
    const shared = sharedMoments(both, lane);
    expect(shared.map((m) => m.kind)).toContain("event");
    for (const moment of shared)
      for (const one of both) expect(() => momentFrame(one, moment, lane, "x")).not.toThrow();
    expect(shared.some((m) => m.kind === "start")).toBe(false);
    expect(momentWords(usualMoment([marks("aino-close-1"), marks("aino-open-1")], lane)!)).toMatch(
      /^left blade-off \d$/,
    );
    expect(
      usualMoment([marks("aino-close-1"), { ...marks("aino-open-1"), events: [], gatePassings: [] }], lane),
    ).toBeNull();
  });
});

describe("the pair that is shown first", () => {
  it("is one skater's two techniques, the same repeat where there is one", () => {
    expect(usualPair(whole, "close", "open")).toEqual(["aino-close-1", "aino-open-1"]);
    expect(pairOfSkater(whole, "tove", "open", "close")).toEqual(["tove-open-1", "tove-close-1"]);
    // Without a marked first repeat the other one serves.
    const marks = { ...whole.marks };
    delete marks["tove-close-1"];
    expect(pairOfSkater({ ...whole, marks }, "tove", "open", "close")).toEqual([
      "tove-open-1",
      "tove-close-2",
    ]);
    // Signe's open recovery is not marked in the demo study.
    expect(pairOfSkater(whole, "signe", "close", "open")).toBeNull();
    const filmable = filmableTrials(whole);
    expect(filmable.map((t) => t.id)).toEqual(expect.arrayContaining(["aino-close-1", "tove-open-1"]));
    for (const { clip } of filmable) expect(clip).toBeDefined();
  });
});
