import { describe, expect, it } from "vitest";
import { FIRST_PASS, markInPass } from "../../app/places/measure/core/pass.ts";
import { drawnOnFrame } from "../../app/places/measure/core/trialView.ts";
import { guide } from "../../app/places/measure/guide/guide.ts";
import { skipped } from "../../app/places/measure/guide/repeatPass.ts";
import type { Mark } from "../../src/study/types.ts";
import { marksWith } from "./fakeStudy.ts";
import { event, input } from "./guideInput.ts";

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
