import { describe, expect, it } from "vitest";
import { addMark } from "../../app/commands/marks/addMark.ts";
import { moveEvent } from "../../app/commands/marks/moveEvent.ts";
import { moveMark } from "../../app/commands/marks/moveMark.ts";
import { takeSuggested } from "../../app/commands/marks/takeSuggested.ts";
import { createSession, perform, redo, undo } from "../../app/store/session.ts";
import { originWords } from "../../src/marks/origins.ts";
import { markedTables } from "../../src/report/tables/markedTables.ts";
import { applyChanges, changesBetween } from "../../src/study/changes.ts";
import { readMarksCsv, writeMarksCsv } from "../../src/study/marksTable.ts";
import type { EventFrame, Mark, SuggestedMark } from "../../src/study/types.ts";
import { bareStudy, mark, marksWith, opened, PICTURE, refusal } from "../app/fakeStudy.ts";

const SUGGESTED: SuggestedMark = {
  xPx: 640,
  yPx: 512,
  uPx: 1.4,
  by: "template",
  model: "ab",
  templates: [3, 9],
};
const OFF: EventFrame = {
  event: "blade_off",
  side: "left",
  frame: 20,
  time: 20 / 60,
  from: "accepted",
  suggested: { frame: 20, sdFrames: 0.5, model: "ab" },
};
const taken = (more: Partial<Mark> = {}): Mark =>
  mark({ frame: 20, time: 20 / 60, xPx: 640, yPx: 512, from: "accepted", suggested: SUGGESTED, ...more });
const take = (marks: readonly Mark[] = [taken()]) => ({
  trial: "t1",
  events: [OFF] as const,
  marks,
  notSeen: [{ frame: 20, point: "hip" as const, side: "right" as const }],
  picture: PICTURE,
});

describe("a suggested frame that is taken", () => {
  it("is one step, with its points, what can't be seen and where each comes from; undo takes all of it back", () => {
    const session = createSession(opened(bareStudy()));
    const before = session.getState().whole;
    perform(session, takeSuggested, take());
    const { marks } = session.getState().whole;
    expect(marks.t1).toMatchObject({ events: [OFF], marks: [taken()], notSeen: take().notSeen });
    undo(session);
    expect(session.getState().whole).toEqual(before);
    redo(session);
    expect(session.getState().whole.marks).toEqual(marks);
  });

  it("comes through a step of the journal as it is", () => {
    const before = bareStudy();
    const after = takeSuggested.run(before, take());
    const changes = changesBetween(before.marks.t1 ?? null, after.marks.t1);
    expect(applyChanges(before.marks.t1 ?? null, JSON.parse(JSON.stringify(changes)))).toEqual(
      after.marks.t1,
    );
  });

  it("is refused outside the picture, as any mark is", () => {
    expect(refusal(() => takeSuggested.run(bareStudy(), take([taken({ xPx: -9 })]))).code).toBe(
      "outside-picture",
    );
  });

  it("is moved once a person puts it elsewhere, and still says where it was suggested", () => {
    const whole = takeSuggested.run(bareStudy(), take());
    const key = { frame: 20, point: taken().point, side: taken().side };
    const dragged = moveMark.run(whole, { trial: "t1", key, xPx: 644, yPx: 510 });
    expect(dragged.marks.t1?.marks).toEqual([taken({ xPx: 644, yPx: 510, from: "moved" })]);
    const { from: _, suggested: __, ...plain } = taken({ xPx: 644, yPx: 510 });
    const again = addMark.run(whole, { trial: "t1", mark: plain, picture: PICTURE });
    expect(again.marks.t1?.marks).toEqual([taken({ xPx: 644, yPx: 510, from: "moved" })]);
    const event = moveEvent.run(whole, {
      trial: "t1",
      event: "blade_off",
      side: "left",
      from: 20,
      to: 21,
      time: 0.35,
    });
    expect(event.marks.t1?.events).toEqual([{ ...OFF, frame: 21, time: 0.35, from: "moved" }]);
  });

  it("by hand stays by hand when it is moved, a blind check among it", () => {
    const blind = taken({ from: "hand", suggested: { ...SUGGESTED, blind: true } });
    const whole = takeSuggested.run(bareStudy(), take([blind, mark({ frame: 30 })]));
    const to = { xPx: 644, yPx: 510 };
    const moved = [blind, mark({ frame: 30 })].reduce(
      (w, m) => moveMark.run(w, { trial: "t1", key: m, ...to }),
      whole,
    );
    expect(moved.marks.t1?.marks).toEqual([{ ...blind, ...to }, mark({ frame: 30, ...to })]);
  });
});

describe("where marks come from", () => {
  const off = (frame: number, from?: Mark["from"]): EventFrame => ({
    event: "blade_off",
    side: frame % 2 === 0 ? "left" : "right",
    frame,
    time: frame / 60,
    ...(from ? { from } : {}),
  });
  // Counted by hand: frames 2, 4 by hand; 5 taken as it was; on 8 a point was moved; 9 was a blind check.
  const trial = marksWith({
    events: [off(2), off(4), off(5, "accepted"), off(8), off(9, "hand")],
    marks: [
      taken({ frame: 8, time: 8 / 60, from: "moved", xPx: 650 }),
      taken({ frame: 9, time: 9 / 60, from: "hand", suggested: { ...SUGGESTED, blind: true } }),
    ],
  });

  it("is said in one line, and not at all where all is by hand", () => {
    expect(originWords(trial)).toBe("5 strides: 3 by hand, 2 accepted, 1 point moved");
    expect(originWords(marksWith({ events: [off(2)] }))).toBeNull();
  });

  it("is in the tables, which read it back; without suggestions they are as they were", () => {
    expect(readMarksCsv(writeMarksCsv(trial.marks))).toEqual(trial.marks);
    expect(writeMarksCsv([mark()]).split("\r\n")[0]).toBe(
      "frame,time_s,point,side,x_px,y_px,u_px,observer,pass",
    );
    const whole = { ...bareStudy(), marks: { t1: trial } };
    const table = markedTables(whole, "names", new Map()).find((t) => t.name === "marks")!;
    const column = (name: string) => table.columns.findIndex((c) => c.name === name);
    expect(
      table.rows.map((r) => [r[column("from")], r[column("suggested_x_px")], r[column("blind")]]),
    ).toEqual([
      ["moved", 640, "no"],
      ["hand", 640, "yes"],
    ]);
  });

  it("that a table gives half is refused, naming the line", () => {
    const text =
      "frame,time_s,point,side,x_px,y_px,from\n8,0.1,hip,left,5,6,accepted\n9,0.2,hip,left,5,6,guessed\n";
    expect(refusal(() => readMarksCsv(text)).data?.rows).toMatchObject([{ line: 2 }, { line: 3 }]);
  });
});
