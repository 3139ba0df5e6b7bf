import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { hostname } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { Vault } from "../../electron/vault/Vault.ts";
import { blademark } from "../helpers/commandLine.ts";
import { markStep } from "../helpers/markStep.ts";
import { MARKS, STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const snapshot = (folder: string) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((e) => e.isFile())
    .map((e) => join(e.parentPath, e.name))
    .sort()
    .map((path) => [path, readFileSync(path, "utf8")]);

async function saved(): Promise<string> {
  const folder = studyFolder();
  const vault = await Vault.open(folder);
  await vault.saveStudy({ ...STUDY, question: "kept" });
  await vault.saveMarks("t1", MARKS);
  await vault.close();
  return folder;
}

const codes = (out: string) =>
  (JSON.parse(out).findings as { code: string; where: string; kind: string }[]).map(
    (f) => `${f.kind} ${f.code} ${f.where}`,
  );

describe("blademark check", () => {
  it("finds a sound study sound, changes nothing, and ends with 0", async () => {
    const folder = await saved();
    const before = snapshot(folder);
    expect(await blademark("check", folder)).toEqual({ status: 0, out: "All is well.\n", said: "" });
    expect(await blademark("check", folder, "--repair")).toMatchObject({ status: 0 });
    expect(snapshot(folder)).toEqual(before);
  });

  it("names everything that is wrong, changes nothing, and ends with 1", async () => {
    const folder = await saved();
    const clips = [
      { id: "gone", name: "gone.mp4", path: "clips/gone.mp4", bytes: 3 },
      { id: "other", name: "other.mp4", path: "study.json", bytes: 3 },
    ];
    const vault = await Vault.open(folder);
    await vault.saveStudy({ ...vault.study, clips });
    await vault.close();
    writeFileSync(join(folder, "marks/t1.json"), "{");
    writeFileSync(join(folder, "marks/t9.json"), "{}");
    writeFileSync(join(folder, ".study.json.0123456789ab.tmp"), "half");
    const dead = {
      user: "kim",
      host: hostname(),
      pid: 2 ** 31 - 2,
      start: "1",
      opened: "2026-11-25T18:00:00Z",
      token: "x",
    };
    writeFileSync(join(folder, "study.lock"), JSON.stringify(dead));
    const before = snapshot(folder);
    const { status, out } = await blademark("check", folder, "--json");
    expect(status).toBe(1);
    expect(JSON.parse(out)).toMatchObject({ format: "blademark.check", version: 1, repaired: [] });
    expect(codes(out)).toEqual([
      "repairable damaged marks/t1.json",
      "note no-trial marks/t9.json",
      "problem clip-missing clips/gone.mp4",
      "problem clip-differs study.json",
      "repairable old-lock study.lock",
      "repairable left-behind .study.json.0123456789ab.tmp",
    ]);
    expect(snapshot(folder)).toEqual(before);
    const plain = await blademark("check", folder);
    expect(plain.out).toMatch(/problem {3}marks\/t1\.json: Damaged\..*good copy/);
    expect(plain.out).toMatch(/5 problems; 3 of them can be put right with --repair\./);
  });

  it("puts back with --repair what can be, and keeps what was damaged", async () => {
    const folder = await saved();
    writeFileSync(join(folder, "study.json"), "half a stu");
    rmSync(join(folder, "marks/t1.json"));
    writeFileSync(join(folder, ".study.json.0123456789ab.tmp"), "half");
    const { status, out } = await blademark("check", folder, "--repair", "--json");
    expect(status).toBe(0);
    expect(JSON.parse(out).repaired.map((f: { where: string }) => f.where)).toEqual([
      "study.json",
      "marks/t1.json",
      ".study.json.0123456789ab.tmp",
    ]);
    expect(codes(out)).toEqual(["note damaged damaged"]);
    expect(JSON.parse(readFileSync(join(folder, "study.json"), "utf8")).question).toBe("kept");
    expect(JSON.parse(readFileSync(join(folder, "marks/t1.json"), "utf8"))).toEqual(MARKS);
    const [aside] = readdirSync(join(folder, "damaged"));
    expect(readFileSync(join(folder, "damaged", aside as string), "utf8")).toBe("half a stu");
    expect(existsSync(join(folder, "study.lock"))).toBe(false);
  });

  it("writes with --repair what only the journal holds", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const { step } = markStep({ study: STUDY, marks: { t1: MARKS } }, "t1", 101);
    await vault.addSteps({ from: 0, steps: [step] });
    // Killed here: the lock stays, and is this process's own, so it does not count.
    rmSync(join(folder, "study.lock"));
    expect(codes((await blademark("check", folder, "--json")).out)).toEqual([
      "repairable not-written journal.jsonl",
    ]);
    expect((await blademark("check", folder, "--repair")).status).toBe(0);
    expect(JSON.parse(readFileSync(join(folder, "marks/t1.json"), "utf8")).marks).toHaveLength(2);
  });

  it("repairs nothing while somebody has the study open", async () => {
    const folder = await saved();
    writeFileSync(join(folder, "study.json"), "half a stu");
    const kim = {
      user: "kim",
      host: "rink-laptop",
      pid: 1,
      start: null,
      opened: "2026-11-25T18:00:00Z",
      token: "x",
    };
    writeFileSync(join(folder, "study.lock"), JSON.stringify(kim));
    const { status, said } = await blademark("check", folder, "--repair");
    expect(status).toBe(1);
    expect(said).toMatch(/Nothing was repaired\..*already open by kim on rink-laptop/);
    expect(readFileSync(join(folder, "study.json"), "utf8")).toBe("half a stu");
  });

  it("reads the clips only when asked to", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const link = await vault.clips.add("a.mp4", bytes("abc"));
    await vault.saveStudy({ ...STUDY, clips: [link] });
    await vault.close();
    writeFileSync(join(folder, link.path), "abd");
    expect((await blademark("check", folder)).status).toBe(0);
    const { status, out } = await blademark("check", folder, "--content");
    expect(status).toBe(1);
    expect(out).toMatch(/another content than when it was added/);
  });

  it("says what is no study, and that a folder is needed", async () => {
    expect((await blademark("check", temporaryFolder())).out).toMatch(/There is no study\.json/);
    expect(await blademark("check", "/nowhere/at/all")).toMatchObject({
      status: 1,
      said: expect.stringMatching(/no folder/),
    });
    expect((await blademark("check")).status).toBe(2);
  });
});

async function* bytes(text: string) {
  yield new TextEncoder().encode(text);
}
