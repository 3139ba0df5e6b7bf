import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { hostname } from "node:os";
import { join } from "node:path";
import { describe, expect, it, onTestFinished } from "vitest";
import { type LockOwner, processStart } from "../../electron/vault/lock.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { itWhere } from "../helpers/itWhere.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const owner = (parts: Partial<LockOwner>): LockOwner => ({
  ...{
    user: "kim",
    host: hostname(),
    pid: process.ppid,
    start: null,
    opened: "2026-11-25T18:00:00.000Z",
    token: "kim's",
  },
  ...parts,
});

const lockOf = (folder: string) => JSON.parse(readFileSync(join(folder, "study.lock"), "utf8"));
const put = (folder: string, lock: unknown) =>
  writeFileSync(join(folder, "study.lock"), JSON.stringify(lock));

describe("the lock of a study", () => {
  it("names who has it, and is given back", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    expect(lockOf(folder)).toMatchObject({
      pid: process.pid,
      host: hostname(),
      start: await processStart(process.pid),
    });
    await vault.close();
    expect(existsSync(join(folder, "study.lock"))).toBe(false);
  });

  itWhere(process.platform === "linux", "reads Linux's list of processes")(
    "is taken from a process that was killed, also while its parent takes no note",
    async () => {
      // The shell becomes a program that waits for no child, so the child that ends stays as a zombie.
      const parent = spawn("sh", ["-c", "sleep 0.05 & echo $!; exec sleep 60"], {
        stdio: ["ignore", "pipe", "ignore"],
      });
      onTestFinished(() => void parent.kill("SIGKILL"));
      const pid = Number(String((await once(parent.stdout, "data"))[0]));
      const stat = () => readFileSync(`/proc/${pid}/stat`, "utf8").split(" ");
      await expect.poll(() => stat()[2]).toBe("Z");
      const folder = studyFolder();
      put(folder, owner({ pid, start: stat()[21]! }));
      const vault = await Vault.open(folder);
      expect(lockOf(folder)).toMatchObject({ pid: process.pid });
      await vault.close();
    },
  );

  it("shows the study for reading only while another process has it, and who that is", async () => {
    const folder = studyFolder();
    put(folder, owner({ start: await processStart(process.ppid) }));
    const vault = await Vault.open(folder);
    expect(vault.opened()).toMatchObject({
      ...{ readOnly: true, owner: `kim on ${hostname()}`, study: STUDY },
      notices: [
        expect.stringMatching(/already open by kim on .* \(since 2026-11-25 18:00 UTC\).*reading only/),
      ],
    });
    await expect(vault.saveStudy(STUDY)).rejects.toMatchObject({ code: "read-only" });
    await vault.close();
    expect(lockOf(folder).token).toBe("kim's");
  });

  it.each([
    ["of a process that has ended", owner({ pid: 2 ** 31 - 2, start: "1" })],
    ["whose process number another process uses now", owner({ start: "1" })],
    ["of which only half was written", "half"],
  ])("does not believe a lock %s", async (_, lock) => {
    const folder = studyFolder();
    if (lock === "half") writeFileSync(join(folder, "study.lock"), '{"user":"ki');
    else put(folder, lock);
    const vault = await Vault.open(folder);
    expect(vault.opened()).toMatchObject({ readOnly: false, owner: null, notices: [] });
    await vault.saveStudy({ ...STUDY, question: "mine" });
    expect(lockOf(folder).pid).toBe(process.pid);
  });

  it("believes the lock of another machine, whose processes it cannot see", async () => {
    const folder = studyFolder();
    put(folder, owner({ host: "rink-laptop", pid: 2 ** 31 - 2 }));
    expect((await Vault.open(folder)).opened()).toMatchObject({
      readOnly: true,
      owner: "kim on rink-laptop",
    });
  });

  it("is let go when somebody asks, after the rest is written; then the asker writes", async () => {
    const folder = studyFolder();
    const first = await Vault.open(folder, undefined, {
      me: owner({ token: "first", start: await processStart(process.ppid) }),
    });
    const second = await Vault.open(folder, undefined, {
      me: owner({ token: "second", pid: process.pid, start: await processStart(process.pid) }),
    });
    expect(second.opened().readOnly).toBe(true);
    const taking = second.takeOver();
    await expect.poll(() => first.standing()).toBe("asked");
    await first.saveStudy({ ...STUDY, question: "the last word of the first" });
    await first.stopWriting("handed over");
    await taking;
    expect(second.opened()).toMatchObject({
      readOnly: false,
      study: { question: "the last word of the first" },
    });
    await second.saveStudy({ ...STUDY, question: "second" });
    await expect(first.saveStudy(STUDY)).rejects.toMatchObject({ code: "read-only" });
    expect(existsSync(join(folder, "study.lock.asked"))).toBe(false);
  });

  it("is taken from one that does not answer, which then writes nothing any more", async () => {
    const folder = studyFolder();
    const asleep = await Vault.open(folder, undefined, {
      me: owner({ token: "asleep", start: await processStart(process.ppid) }),
    });
    const second = await Vault.open(folder, undefined, {
      me: owner({ token: "second", pid: process.pid, start: await processStart(process.pid) }),
    });
    await second.takeOver();
    expect(second.opened().readOnly).toBe(false);
    await second.saveStudy({ ...STUDY, question: "second" });
    await expect(asleep.saveStudy({ ...STUDY, question: "asleep" })).rejects.toMatchObject({
      code: "taken-over",
    });
    expect(await asleep.standing()).toBe("taken");
    expect(JSON.parse(readFileSync(join(folder, "study.json"), "utf8")).question).toBe("second");
  });

  it("is not left in a folder that is no study", async () => {
    const folder = temporaryFolder();
    await expect(Vault.open(folder)).rejects.toMatchObject({ code: "no-study" });
    writeFileSync(join(folder, "study.json"), "{}");
    await expect(Vault.open(folder)).rejects.toMatchObject({ code: "damaged-study" });
    expect(existsSync(join(folder, "study.lock"))).toBe(false);
  });
});
