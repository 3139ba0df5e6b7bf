import { appendFileSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { addMark } from "../../app/commands/marks/addMark.ts";
import { createSession, perform, redo, undo } from "../../app/store/session.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { stepChanges } from "../../src/study/journal.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { markStep, numbered, numbersOf } from "../helpers/markStep.ts";
import { STUDY, studyFolder } from "../helpers/studyFolder.ts";

/** Ends as a killed program does: nothing is written, nothing given back. */
const killed = (_vault: Vault) => undefined;

async function marked(folder: string, count: number): Promise<WholeStudy> {
  const vault = await Vault.open(folder);
  let { study, marks, stepsMade } = vault.opened();
  let whole: WholeStudy = { study, marks };
  for (let n = 1; n <= count; n++) {
    const { step, next } = markStep(whole, "t1", 100 + n);
    ({ stepsMade } = await vault.addSteps({ from: stepsMade, steps: [step] }));
    whole = next;
  }
  killed(vault);
  return whole;
}

describe("the journal", () => {
  it("puts back what was not written, says so, and then nothing is left to put back", async () => {
    const folder = studyFolder();
    const whole = await marked(folder, 3);
    const vault = await Vault.open(folder);
    expect(vault.opened().marks).toEqual(whole.marks);
    expect(vault.opened().notices).toEqual([expect.stringMatching(/3 steps were put back/)]);
    expect(JSON.parse(readFileSync(join(folder, "marks/t1.json"), "utf8"))).toEqual(whole.marks.t1);
    killed(vault);
    expect((await Vault.open(folder)).opened().notices).toEqual([]);
  });

  it("lets undo reach back over a reopening, and redo after it", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const session = createSession(vault.opened());
    const states: WholeStudy[] = [session.getState().whole];
    let made = 0;
    const journal = async (kind: "do" | "undo" | "redo", what: () => void) => {
      const before = session.getState();
      what();
      const { whole } = session.getState();
      const step = {
        kind,
        label: `step ${made}`,
        trial: "t1",
        frame: made,
        changes: stepChanges(before.whole, whole),
      };
      made = (await vault.addSteps({ from: made, steps: [step] })).stepsMade;
      states.push(whole);
    };
    const put = (n: number) => () =>
      perform(session, addMark, {
        trial: "t1",
        mark: numbered(n),
        picture: { clip: "a", width: 1280, height: 720, frameInterval: 1 / 60 },
      });
    await journal("do", put(201));
    await journal("do", put(202));
    await journal("do", put(203));
    await journal("undo", () => undo(session));
    await journal("undo", () => undo(session));
    await journal("redo", () => redo(session));
    await vault.close();

    const again = createSession((await Vault.open(folder)).opened());
    const as = (whole: WholeStudy) => JSON.parse(JSON.stringify(whole));
    expect(again.getState().whole).toEqual(as(states[6] as WholeStudy));
    expect(again.getState().past.map((s) => as(s.whole))).toEqual(
      [states[0], states[1]].map((s) => as(s as WholeStudy)),
    );
    expect(again.getState().future).toHaveLength(1);
    redo(again);
    expect(again.getState().whole).toEqual(as(states[3] as WholeStudy));
    for (let n = 0; n < 3; n++) undo(again);
    expect(again.getState().whole).toEqual(as(states[0] as WholeStudy));
  });

  it("does not make steps twice that the window sends again, and refuses to skip any", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const { step, next } = markStep({ study: STUDY, marks: vault.opened().marks }, "t1", 101);
    const second = markStep(next, "t1", 102).step;
    await vault.addSteps({ from: 0, steps: [step] });
    expect((await vault.addSteps({ from: 0, steps: [step, second] })).stepsMade).toBe(2);
    expect(numbersOf(vault.opened())).toEqual([12, 101, 102]);
    await expect(vault.addSteps({ from: 5, steps: [step] })).rejects.toMatchObject({ code: "steps-missing" });
  });

  it("takes only steps that leave a valid study inside its folder", async () => {
    const vault = await Vault.open(studyFolder());
    const send = (document: string, forth: object[]) =>
      vault.addSteps({
        from: 0,
        steps: [{ kind: "do", label: "", trial: null, frame: 0, changes: [{ document, forth, back: [] }] }],
      });
    await expect(send("study", [{ path: ["markSdPx"], value: -1 }])).rejects.toMatchObject({
      code: "damaged-document",
    });
    await expect(send("study", [{ path: ["nowhere", "else"], value: 1 }])).rejects.toMatchObject({
      code: "changes-do-not-fit",
    });
    await expect(send("study", [{ path: ["__proto__"], value: { polluted: 1 } }])).rejects.toMatchObject({
      code: "changes-do-not-fit",
    });
    await expect(
      send("marks/../../x", [{ path: [], value: { format: "blademark.marks" } }]),
    ).rejects.toThrow();
    const link = { id: "x", name: "x.mp4", path: "../../etc/passwd", bytes: 1 };
    await expect(send("study", [{ path: ["clips"], at: 0, out: 0, in: [link] }])).rejects.toMatchObject({
      code: "foreign-path",
    });
    await expect(vault.addSteps({ from: 0, steps: "many" })).rejects.toMatchObject({ code: "bad-steps" });
    expect(vault.opened().study).toEqual(STUDY);
    expect(vault.opened().stepsMade).toBe(0);
  });

  it("forces nothing on a file that somebody else changed meanwhile, and keeps the steps", async () => {
    const folder = studyFolder();
    await marked(folder, 2);
    const theirs = JSON.stringify({
      ...JSON.parse(readFileSync(join(folder, "marks/t1.json"), "utf8")),
      marks: [],
    });
    writeFileSync(join(folder, "marks/t1.json"), theirs);
    const { notices, marks, steps } = (await Vault.open(folder)).opened();
    expect(marks.t1?.marks).toEqual([]);
    expect(steps).toEqual([]);
    expect(notices).toEqual([
      expect.stringMatching(/2 steps of the journal could not be put back.*kept as conflicts\/journal /),
    ]);
    expect(readFileSync(join(folder, "marks/t1.json"), "utf8")).toBe(theirs);
  });

  it("stops at a damaged step, keeps what came before it, and says so", async () => {
    const folder = studyFolder();
    await marked(folder, 3);
    const file = join(folder, "journal.jsonl");
    writeFileSync(file, readFileSync(file, "utf8").replace('"label":"mark 102"', '"label":"mark 999"'));
    const { notices, marks } = (await Vault.open(folder)).opened();
    expect(marks.t1?.marks.map((m) => m.frame)).toEqual([12, 101]);
    expect(notices.join(" ")).toMatch(/could not be put back/);
  });

  it("does not mind a line that a kill broke off", async () => {
    const folder = studyFolder();
    const whole = await marked(folder, 2);
    appendFileSync(join(folder, "journal.jsonl"), '0123456789abcdef {"n":3,"st');
    const vault = await Vault.open(folder);
    expect(vault.opened().marks).toEqual(whole.marks);
    const { step } = markStep(whole, "t1", 103);
    await vault.addSteps({ from: 2, steps: [step] });
    killed(vault);
    expect(numbersOf((await Vault.open(folder)).opened())).toEqual([12, 101, 102, 103]);
  });
});
