import type { DiskOf } from "../../electron/disk/disk.ts";
import type { LockOwner } from "../../electron/vault/lock.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { MeasureError } from "../../src/errors.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { asStep, markStep } from "../helpers/markStep.ts";

/** An owner whose process has ended: no system gives numbers as high as this. */
export const ENDED: LockOwner = {
  ...{ user: "kim", host: (await import("node:os")).hostname(), pid: 2 ** 31 - 2, start: "1" },
  ...{ opened: "2026-11-25T18:00:00.000Z", token: "ended" },
};

/** What the window was told is on the disk. */
export interface Told {
  /** Numbers of the marks. */
  readonly marks: number[];
  questions: string[];
}

/**
 * An evening in short: marks on two trials, each acknowledged, saves of the files in between as the window makes them,
 * a changed question. `told` grows as answers come; a fault ends the session wherever it strikes.
 */
export async function session(folder: string, disk: DiskOf, told: Told, me = ENDED): Promise<Vault> {
  const vault = await Vault.open(folder, undefined, { disk, me });
  const { readOnly, notices } = vault.opened();
  if (readOnly) throw new MeasureError("read-only", "opened for reading only", notices.join(" "));
  let whole: WholeStudy = { study: vault.opened().study, marks: vault.opened().marks };
  let made = vault.opened().stepsMade;
  const mark = async (trial: string, n: number) => {
    const { step, next } = markStep(whole, trial, n);
    made = (await vault.addSteps({ from: made, steps: [step] })).stepsMade;
    whole = next;
    told.marks.push(n);
  };
  await mark("t1", 101);
  await mark("t1", 102);
  await vault.saveMarks("t1", whole.marks.t1, made);
  await mark("t2", 201);
  await mark("t1", 103);
  const before = whole;
  whole = { ...whole, study: { ...whole.study, question: "asked anew" } };
  made = (await vault.addSteps({ from: made, steps: [asStep(before, whole, "question")] })).stepsMade;
  told.questions.push("asked anew");
  await vault.saveStudy(whole.study, made);
  await vault.saveMarks("t2", whole.marks.t2, made);
  await mark("t2", 202);
  await vault.close();
  return vault;
}
