import { hostname } from "node:os";
import { expect, it } from "vitest";
import { type LockOwner, processStart } from "../../electron/vault/lock.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { STUDY, studyFolder } from "../helpers/studyFolder.ts";

it("hands a study back and forth between two programs, and each finds what the other did", async () => {
  const folder = studyFolder();
  const owner = async (token: string, pid: number): Promise<LockOwner> => ({
    ...{
      user: token,
      host: hostname(),
      pid,
      start: await processStart(pid),
      opened: "2026-11-25T18:00:00.000Z",
      token,
    },
  });
  const a = await Vault.open(folder, undefined, { me: await owner("a", process.ppid) });
  const b = await Vault.open(folder, undefined, { me: await owner("b", process.pid) });
  for (const [from, to, question] of [
    [a, b, "by b"],
    [b, a, "by a again"],
    [a, b, "by b again"],
  ] as const) {
    const before = from.study.question;
    const taking = to.takeOver();
    await expect.poll(() => from.standing()).toBe("asked");
    await from.stopWriting("taken over");
    await taking;
    expect(to.opened()).toMatchObject({ readOnly: false, study: { question: before } });
    await to.saveStudy({ ...STUDY, question });
  }
});
