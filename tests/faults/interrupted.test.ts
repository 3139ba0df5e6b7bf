import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { realDisk } from "../../electron/disk/disk.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { type Fault, faultyDisk } from "../helpers/faultyDisk.ts";
import { numbersOf } from "../helpers/markStep.ts";
import { STUDY, studyFolder } from "../helpers/studyFolder.ts";
import { session, type Told } from "./oneSession.ts";
import { ALL, outcomes } from "./table.ts";

/** Disk calls of one session, so that every one of them can be made to fail. */
async function callsOfASession(): Promise<number> {
  const disk = faultyDisk("killed", Infinity);
  await session(studyFolder(), disk, { marks: [], questions: [] });
  return disk.calls();
}

/** Opens the folder as the next program does; everything that was acknowledged must be there. */
async function mustHold(folder: string, told: Told): Promise<Vault> {
  // What stands in the file itself is whole, whatever the journal adds.
  parseStudy(JSON.parse(readFileSync(join(folder, "study.json"), "utf8")));
  const vault = await Vault.open(folder);
  const { study, marks, notices, readOnly } = vault.opened();
  expect(readOnly).toBe(false);
  expect(notices.filter((n) => /damaged|missing|could not be put back/.test(n))).toEqual([]);
  const found = numbersOf({ study, marks });
  expect(found).toEqual(expect.arrayContaining(told.marks));
  // At most the one step that was on its way is there beyond what was acknowledged.
  expect(found.length - 1 - told.marks.length).toBeLessThanOrEqual(1);
  expect([STUDY.question, "asked anew"]).toContain(study.question);
  if (told.questions.length > 0) expect(study.question).toBe("asked anew");
  return vault;
}

describe("a program that ends, or a disk that fails, at each call", { timeout: 300_000 }, () => {
  it("killed: everything acknowledged is there, and the study opens", async () => {
    const table = outcomes("killed at each disk call");
    const calls = await callsOfASession();
    expect(calls).toBeGreaterThan(50);
    for (let at = 0; at < calls; at += ALL ? 1 : 3) {
      const folder = studyFolder();
      const told: Told = { marks: [], questions: [] };
      const disk = faultyDisk("killed", at);
      await session(folder, disk, told).catch(() => undefined);
      expect(disk.calls(), "the kill happened").toBeGreaterThan(at);
      const again = await mustHold(folder, told);
      await again.close();
      // A second opening finds nothing left to do.
      expect((await Vault.open(folder)).opened().notices).toEqual([]);
      table.came("opens; every acknowledged mark there");
    }
    table.done();
  });

  it.each([
    ["ENOSPC", /disk.*full/i],
    ["EROFS", /may not be written|cannot be written/],
    ["EACCES", /may not be written|cannot be written/],
  ] as const)("%s: says so in words, loses nothing, and goes on once it is mended", async (fault, words) => {
    const table = outcomes(
      fault === "ENOSPC" ? "disk full at each call" : `folder not writable (${fault}) from each call on`,
    );
    const calls = await callsOfASession();
    for (let at = 0; at < calls; at += ALL ? 1 : 7) {
      const folder = studyFolder();
      const told: Told = { marks: [], questions: [] };
      const disk = faultyDisk(fault as Fault, at);
      const said = await session(folder, disk, told).then(
        (vault) => vault.opened().notices.join(" "),
        (error) => {
          expect(error.coach, `call ${at}: ${error.stack}`).toBeTypeOf("string");
          return error.coach as string;
        },
      );
      // Flushing a folder or tidying up may fail without a word: nothing is lost by it.
      if (said !== "") expect(said, `call ${at}`).toMatch(words);
      disk.mend();
      const again = await mustHold(folder, told);
      await again.saveStudy({ ...again.study, question: "asked anew" });
      await again.close();
      expect((await Vault.open(folder)).study.question).toBe("asked anew");
      table.came(said === "" ? "done all the same" : "said so; all there once mended");
    }
    table.done();
  });

  it("goes on in the same program once there is space again", async () => {
    const folder = studyFolder();
    const full = faultyDisk("ENOSPC", 25);
    const vault = await Vault.open(folder, undefined, { disk: full });
    let failed = 0;
    for (let n = 1; n <= 12; n++) {
      const save = () => vault.saveStudy({ ...STUDY, question: `question ${n}` });
      await save().catch(async (error) => {
        expect(error).toMatchObject({ code: "not-saved", coach: expect.stringMatching(/disk is full/) });
        failed += 1;
        full.mend();
        await save();
      });
    }
    expect(failed).toBe(1);
    await vault.close();
    expect((await Vault.open(folder, undefined, { disk: realDisk })).study.question).toBe("question 12");
  });
});
