import { readdirSync, readFileSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { realDisk } from "../../electron/disk/disk.ts";
import { TEMPORARY, writeAtomically } from "../../electron/vault/atomicWrite.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

describe("writeAtomically", () => {
  it("puts new content in the place of old", async () => {
    const file = join(temporaryFolder(), "study.json");
    await writeAtomically(file, "first");
    await writeAtomically(file, "second");
    expect(readFileSync(file, "utf8")).toBe("second");
    expect(readdirSync(join(file, ".."))).toEqual(["study.json"]);
  });

  it("leaves the old content whole when the program dies after writing, before renaming", async () => {
    const folder = temporaryFolder();
    const file = join(folder, "study.json");
    await writeAtomically(file, "old, whole");
    let beside = "";
    const died = writeAtomically(file, "new", {
      ...realDisk(folder),
      async rename(temporary) {
        beside = readFileSync(temporary, "utf8");
        throw new Error("killed");
      },
    });
    await expect(died).rejects.toThrow("killed");
    expect(beside).toBe("new");
    expect(readFileSync(file, "utf8")).toBe("old, whole");
  });

  it("deletes what a killed program left behind, once nobody can be writing it", async () => {
    const folder = studyFolder();
    const [old, fresh] = [".study.json.0123456789ab.tmp", ".study.json.ba9876543210.tmp"];
    for (const name of [old, fresh, "notes.tmp"]) writeFileSync(join(folder, name), "half a docu");
    const anHourAgo = new Date(Date.now() - 3_600_000);
    utimesSync(join(folder, old), anHourAgo, anHourAgo);
    utimesSync(join(folder, "notes.tmp"), anHourAgo, anHourAgo);
    const vault = await Vault.open(folder);
    expect(vault.study.question).toBe(STUDY.question);
    const left = readdirSync(folder);
    expect(left).not.toContain(old);
    expect(left).toContain(fresh);
    expect(left).toContain("notes.tmp");
    expect(TEMPORARY.test("study.json")).toBe(false);
  });
});
