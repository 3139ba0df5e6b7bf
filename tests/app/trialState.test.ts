import { describe, expect, it } from "vitest";
import { setQuestion } from "../../app/commands/plan/setQuestion.ts";
import { createFirstSteps, noteSteps, stepsOf } from "../../app/store/firstSteps.ts";
import { createSession, perform, undo } from "../../app/store/session.ts";
import { firstUnmarked, nextUnmarked, stateWords, trialState } from "../../app/store/trialState.ts";
import type { Trial, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { demoStudy } from "../demo/demoFiles.ts";
import { bareStudy, marksWith, opened } from "./fakeStudy.ts";

const DEMO = demoStudy();
const trial = (id: string) => DEMO.study.trials.find((t) => t.id === id) as Trial;

/** The trial of the demo that has a clip and nothing on it: sample-clips/README.md. */
const UNMARKED = "signe-open-1";

describe("how far a trial is", () => {
  it("is told of each of the demo's twenty", () => {
    const words = (id: string) => stateWords(trialState(trial(id), DEMO.marks[id]));
    expect(words(UNMARKED)).toBe("no scale");
    expect(words("signe-open-2")).toBe("no clip");
    for (const { id } of DEMO.study.trials.filter((t) => DEMO.marks[t.id]))
      expect(words(id)).toMatch(/^\d+ strides$/);
  });

  it("is n of m strides while the blade of one that was picked is open", () => {
    const marks = structuredClone(DEMO.marks["aino-close-1"]) as TrialMarks;
    const offs = marks.events.filter((e) => e.event === "blade_off");
    const last = offs.at(-1) as (typeof offs)[number];
    const open = {
      ...marks,
      marks: marks.marks.filter(
        (m) => !(m.frame === last.frame && m.side === last.side && m.point === "blade_toe"),
      ),
    };
    const words = stateWords(trialState(trial("aino-close-1"), open));
    expect(words).toBe(`${offs.length - 1} of ${offs.length} strides`);
    const seen = { frame: last.frame, side: last.side, point: "blade_toe" } as const;
    expect(trialState(trial("aino-close-1"), { ...open, notSeen: [seen] }).kind).toBe("marked");
  });

  it("leads to the one trial that is to be marked, from wherever one is, and to none once it is", () => {
    for (const { id } of DEMO.study.trials.filter((t) => t.id !== UNMARKED))
      expect(nextUnmarked(DEMO, id)?.id).toBe(UNMARKED);
    expect(nextUnmarked(DEMO, UNMARKED)).toBeNull();
    const marked = { ...(DEMO.marks["aino-close-1"] as TrialMarks), trial: UNMARKED };
    expect(firstUnmarked({ ...DEMO, marks: { ...DEMO.marks, [UNMARKED]: marked } })).toBeNull();
  });
});

describe("the first steps", () => {
  it("name the trial to do, and leave out what somebody else did in this study", () => {
    const steps = stepsOf(DEMO, []);
    expect(steps.map((s) => s.key)).toEqual(["camera", "scale", "events", "marks", "answer", "report"]);
    for (const step of steps.filter((s) => s.place === "measure"))
      expect(step.words(DEMO)).toContain("Signe, open recovery, trial 1");
  });

  it("count what this person does, not what is there or is taken back", () => {
    const study: WholeStudy = bareStudy();
    const session = createSession(opened(study));
    const steps = createFirstSteps();
    const stop = noteSteps(session, steps);
    expect(steps.getState().seen).toEqual([]);
    perform(session, setQuestion, { question: "Is it faster?" });
    expect(steps.getState().seen).toEqual(["question"]);
    undo(session);
    expect(steps.getState().seen).toEqual(["question"]);
    const events = [{ event: "blade_off", side: "left", frame: 3, time: 0.05 }] as const;
    const read = { ...session.getState().whole, marks: { t1: marksWith({ events }) } };
    session.setState({ whole: read });
    expect(steps.getState().seen).toEqual(["question"]);
    stop();
  });

  it("end: with every trial marked and the rest looked at nothing is left", () => {
    const marked = { ...(DEMO.marks["aino-close-1"] as TrialMarks), trial: UNMARKED };
    const whole = { ...DEMO, marks: { ...DEMO.marks, [UNMARKED]: marked } };
    const seen = ["camera", "scale", "events", "marks", "answer", "report"];
    expect(stepsOf(whole, seen).filter((s) => !seen.includes(s.key))).toEqual([]);
  });
});
