import { describe, expect, it } from "vitest";
import { type JournalStep, stepChanges } from "../../src/study/journal.ts";
import type { Mark, Study, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { heldAgainst } from "../../src/study/unsavedSteps.ts";
import { MARKS, STUDY } from "../helpers/studyFolder.ts";

const WHOLE: WholeStudy = { study: STUDY, marks: { t1: MARKS } };
const NONE: ReadonlySet<string> = new Set();

function step(before: WholeStudy, after: WholeStudy, id = "s1"): JournalStep {
  const changes = JSON.parse(JSON.stringify(stepChanges(before, after)));
  return { id, kind: "do", label: id, trial: null, frame: 0, changes };
}

const withStudy = (whole: WholeStudy, parts: Partial<Study>): WholeStudy => ({
  ...whole,
  study: { ...whole.study, ...parts },
});
const timed = (whole: WholeStudy, trial: string, time: number) =>
  withStudy(whole, { trials: whole.study.trials.map((t) => (t.id === trial ? { ...t, time } : t)) });

function marked(whole: WholeStudy, frame: number, xPx: number): WholeStudy {
  const mark: Mark = { frame, time: frame / 60, point: "blade_heel", side: "left", xPx, yPx: 500 };
  const t1 = whole.marks.t1 as TrialMarks;
  return { ...whole, marks: { ...whole.marks, t1: { ...t1, marks: [...t1.marks, mark] } } };
}

/** Labels of what fits and what comes too late. */
function held(now: WholeStudy, steps: readonly JournalStep[], made = NONE) {
  const { fit, late } = heldAgainst(now, steps, made);
  return { fit: fit.map((s) => s.label), late: late.map((s) => s.label) };
}

describe("steps that never reached the study", () => {
  it("fit the study they were made on, one on the other", () => {
    const one = timed(WHOLE, "t1", 4.9);
    const two = timed(one, "t1", 4.8);
    const three = marked(two, 77, 600);
    const steps = [step(WHOLE, one, "a"), step(one, two, "b"), step(two, three, "c")];
    expect(held(WHOLE, steps)).toEqual({ fit: ["a", "b", "c"], late: [] });
  });

  it("still fit when something else was changed since", () => {
    const steps = [step(WHOLE, timed(WHOLE, "t1", 4.9), "a"), step(WHOLE, marked(WHOLE, 77, 600), "b")];
    const now = marked(timed(withStudy(WHOLE, { question: "newer" }), "t2", 5.5), 88, 610);
    expect(held(now, steps)).toEqual({ fit: ["a", "b"], late: [] });
  });

  it("come too late where the same was changed since, and so does what rests on them", () => {
    const one = timed(WHOLE, "t1", 4.9);
    const steps = [step(WHOLE, one, "a"), step(one, timed(one, "t1", 4.7), "b")];
    expect(held(timed(WHOLE, "t1", 4.4), steps)).toEqual({ fit: [], late: ["a", "b"] });
  });

  it("come too late where the same point was marked, or the same event picked, since", () => {
    const mark = step(WHOLE, marked(WHOLE, 77, 600), "mark");
    expect(held(marked(WHOLE, 77, 640), [mark])).toEqual({ fit: [], late: ["mark"] });
    const picked = (frame: number): WholeStudy => ({
      ...WHOLE,
      marks: {
        t1: { ...MARKS, events: [...MARKS.events, { event: "blade_on", side: "left", frame, time: 0.5 }] },
      },
    });
    expect(held(picked(30), [step(WHOLE, picked(30), "event")])).toEqual({ fit: [], late: ["event"] });
  });

  it("come too late where what they changed is gone, or where they lead to no valid study", () => {
    const change = step(WHOLE, timed(WHOLE, "t2", 4.9), "a");
    const without = withStudy(WHOLE, { trials: WHOLE.study.trials.slice(0, 1) });
    expect(held(without, [change])).toEqual({ fit: [], late: ["a"] });
    const bad = step(WHOLE, withStudy(WHOLE, { markSdPx: -1 }), "b");
    expect(held(WHOLE, [bad])).toEqual({ fit: [], late: ["b"] });
  });

  it("are left out when the journal has them, by their names alone", () => {
    const one = marked(WHOLE, 77, 600);
    const steps = [step(WHOLE, one, "a"), step(one, marked(one, 78, 600), "b")];
    expect(held(one, steps, new Set(["a"]))).toEqual({ fit: ["b"], late: [] });
  });
});
