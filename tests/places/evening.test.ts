import { describe, expect, it } from "vitest";
import { lockThePlan } from "../../app/commands/plan/lockThePlan.ts";
import { setEvening } from "../../app/commands/plan/setEvening.ts";
import { setPlan } from "../../app/commands/plan/setPlan.ts";
import { setWorthwhile } from "../../app/commands/plan/setWorthwhile.ts";
import { createSession, perform, undo } from "../../app/store/session.ts";
import { reportPages } from "../../src/report/page/reportPages.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import type { Study } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";

const STUDY: Study = {
  ...newStudy(),
  question: "Does open recovery pay?",
  skaters: [{ id: "hale", name: "Hale", code: "S1", body: {} }],
  techniques: [
    { id: "close", name: "close recovery", asked: [] },
    { id: "open", name: "open recovery", asked: [] },
  ],
  worthwhile: 0.02,
  trials: [
    {
      id: "t1",
      skater: "hale",
      technique: "close",
      repeat: 1,
      order: 1,
      time: null,
      valid: true,
      speedFactor: 1,
    },
  ],
};
const opened = (study: Study) =>
  createSession({
    ...{
      study,
      marks: {},
      folder: "s",
      readOnly: false,
      notices: [],
      position: null,
      owner: null,
      steps: [],
    },
    stepsMade: 0,
  });

describe("the evening in Plan", () => {
  it("keeps what was typed, drops what was emptied, and refuses what is no rink's air", () => {
    const session = opened(STUDY);
    perform(session, setEvening, {
      date: "2027-01-14",
      conditions: { ice: " hard ", airC: -4 },
      what: "ice",
    });
    perform(session, setEvening, { conditions: { ice: "" }, what: "ice" });
    expect(session.getState().whole.study).toMatchObject({ date: "2027-01-14", conditions: { airC: -4 } });
    expect(session.getState().whole.study.conditions).not.toHaveProperty("ice");
    expect(() => perform(session, setEvening, { conditions: { airC: 68 }, what: "air" })).toThrow(/68/);
  });

  it("notes every later change of a locked plan by itself, and not one that was undone", () => {
    const session = opened(STUDY);
    perform(session, setPlan, { change: { saidBy: "the coach", stopWhen: "all skated" }, what: "plan" });
    perform(session, lockThePlan, { date: "2027-01-14T17:00:00.000Z" });
    const changes = () => session.getState().whole.study.plan!.locked!.changes;
    perform(session, setWorthwhile, { text: "0.04" });
    expect(changes()).toMatchObject([{ part: "worthwhile", from: 0.02, to: 0.04, afterTrials: 0 }]);
    undo(session);
    expect(changes()).toEqual([]);
    perform(session, setWorthwhile, { text: "0.05" });
    const { whole } = session.getState();
    const { body } = reportPages(whole, {
      ...{ names: "codes", readingOf: measuredOnce(whole), pictureOf: () => null, made: "" },
    });
    expect(body).toMatch(/worth having 0\.02 → 0\.05\ss before the first time/);
    expect(body).not.toContain("Hale");
  });
});
