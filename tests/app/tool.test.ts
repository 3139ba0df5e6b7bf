import { expect, it } from "vitest";
import { putOnLine } from "../../app/commands/ice/putOnLine.ts";
import { removeIcePoint } from "../../app/commands/ice/removeIcePoint.ts";
import { removeLine } from "../../app/commands/ice/removeLine.ts";
import { setIcePoint } from "../../app/commands/ice/setIcePoint.ts";
import { setKnownLength } from "../../app/commands/ice/setKnownLength.ts";
import { removeEvent } from "../../app/commands/marks/removeEvent.ts";
import { setEvent } from "../../app/commands/marks/setEvent.ts";
import { markPoint, NO_TOOL, standing, type Tool, toTask } from "../../app/places/measure/core/tool.ts";
import type { TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { STUDY } from "../helpers/studyFolder.ts";

const PICTURE = { clip: "a", width: 1280, height: 720, frameInterval: 1 / 60 };
const EVENT = { event: "blade_off", side: "left", frame: 40, time: 40 / 60 } as const;
const A = { label: "A", x: 3, y: 1.5, xPx: 200, yPx: 300 };
const EMPTY: WholeStudy = { study: STUDY, marks: {} };
const of = ({ marks }: WholeStudy) => marks.t1 as TrialMarks;

it("stands no longer than what it was taken up for", () => {
  const picked = setEvent.run(EMPTY, { trial: "t1", event: EVENT, picture: PICTURE });
  const moving: Tool = { kind: "move-event", event: EVENT };
  expect(standing(moving, of(picked))).toBe(moving);
  expect(standing(moving, of(removeEvent.run(picked, { trial: "t1", ...EVENT })))).toBe(NO_TOOL);

  const marked = setIcePoint.run(EMPTY, { trial: "t1", frame: 0, point: A, picture: PICTURE });
  const check: Tool = { kind: "recheck", label: "A" };
  expect(standing(check, of(marked))).toBe(check);
  expect(standing({ ...check, label: "B" }, of(marked))).toBe(NO_TOOL);
  expect(standing(check, of(removeIcePoint.run(marked, { trial: "t1", frame: 0, label: "A" })))).toBe(
    NO_TOOL,
  );
  const length = { x1Px: 100, y1Px: 100, x2Px: 300, y2Px: 100, length: 2 };
  const replaced = setKnownLength.run(marked, { trial: "t1", index: null, length, picture: PICTURE });
  expect(standing(check, of(replaced))).toBe(NO_TOOL);
  expect(standing(markPoint(A), of(replaced)), "a place can be marked whatever there is").toEqual(
    markPoint(A),
  );
});

it("goes on with a line as long as that line is there", () => {
  const at = { xPx: 100, yPx: 50 };
  const put = { trial: "t1", at, frame: 3, picture: PICTURE };
  const one = putOnLine.run(EMPTY, { ...put, line: null });
  const on: Tool = { kind: "line", line: 0 };
  expect(standing(on, of(one))).toBe(on);
  expect(standing({ kind: "line", line: null }, of(one))).toEqual({ kind: "line", line: null });
  expect(standing(on, of(removeLine.run(one, { trial: "t1", line: 0 })))).toBe(NO_TOOL);
});

it("is let go when one goes on to the scale or to the strides", () => {
  expect(toTask("scale")).toEqual({ task: "scale", tool: { kind: "none" } });
  expect(toTask("strides")).toEqual({ task: "strides", tool: { kind: "none" } });
});
