import { FIRST_PASS } from "../../app/places/measure/core/pass.ts";
import { guide } from "../../app/places/measure/guide/guide.ts";
import type { GuideInput } from "../../app/places/measure/guide/guideStep.ts";
import type { EventFrame, EventName, Mark, Side } from "../../src/study/types.ts";
import { marksWith } from "./fakeStudy.ts";

export const FPS = 60;
export const TIMES = Array.from({ length: 300 }, (_, i) => i / FPS);
/** An event of a clip of 60 frames a second. */
export const event = (name: EventName, side: Side, frame: number): EventFrame => ({
  event: name,
  side,
  frame,
  time: frame / FPS,
});

/** What the guide is given: a clip of 300 frames in which nothing is marked, but for `parts`. */
export function input(parts: Partial<GuideInput> = {}): GuideInput {
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
export function answerAll(start: GuideInput): { asked: string[]; end: GuideInput } {
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
