import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { demoStudy, sampleStudy } from "../../electron/demoStudy.ts";
import { packageRoot } from "../../electron/packageRoot.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { MARKS, STUDY, temporaryFolder } from "../helpers/studyFolder.ts";

function installation(): string {
  const root = temporaryFolder();
  const demo = join(root, "sample-clips", "demo-study");
  mkdirSync(join(demo, "marks"), { recursive: true });
  mkdirSync(join(root, "sample-clips", "clips"));
  writeFileSync(join(root, "sample-clips", "clips", "a.mp4"), "a clip");
  const clips = [{ id: "a", name: "a.mp4", path: "../clips/a.mp4", bytes: 6 }];
  writeFileSync(join(demo, "study.json"), JSON.stringify({ ...STUDY, clips }));
  writeFileSync(join(demo, "marks", "t1.json"), JSON.stringify(MARKS));
  return root;
}

describe("the demo study", () => {
  it("is copied once, its links lead to the same clips, and the original stays as it is", async () => {
    const root = installation();
    const original = readFileSync(join(root, "sample-clips", "demo-study", "study.json"), "utf8");
    const copy = await demoStudy(root);
    expect(copy).toBe(join(root, ".blademark", "demo-study"));
    const vault = await Vault.open(copy);
    expect(vault.clips.of("a")?.file).toBe(join(root, "sample-clips", "clips", "a.mp4"));
    expect(vault.opened().marks.t1).toEqual(MARKS);

    await vault.saveStudy({ ...vault.study, question: "mine" });
    expect(await demoStudy(root)).toBe(copy);
    expect((await Vault.open(copy)).study.question).toBe("mine");
    expect(readFileSync(join(root, "sample-clips", "demo-study", "study.json"), "utf8")).toBe(original);
  });

  it("is not the only sample that is copied when it is named; a study of one's own is opened where it is", async () => {
    const root = installation();
    const named = join(root, "sample-clips", "demo-study");
    expect(await sampleStudy(`${named}/`, root)).toBe(join(root, ".blademark", "demo-study"));
    expect(await sampleStudy(join(root, "sample-clips", "nothing"), root)).toBe(null);
    expect(await sampleStudy(join(root, ".blademark", "demo-study"), root)).toBe(null);
  });

  it("is made anew after a copy that was interrupted", async () => {
    const root = installation();
    mkdirSync(join(root, ".blademark", "demo-study.new"), { recursive: true });
    writeFileSync(join(root, ".blademark", "demo-study.new", "half"), "");
    mkdirSync(join(root, ".blademark", "demo-study"));
    const copy = await demoStudy(root);
    expect((await Vault.open(copy)).study.trials).toHaveLength(2);
    expect(readdirSync(join(root, ".blademark"))).toEqual(["demo-study"]);
    expect(existsSync(join(copy, "half"))).toBe(false);
  });

  it("says what to do when it is not installed", async () => {
    const root = installation();
    rmSync(join(root, "sample-clips"), { recursive: true });
    await expect(demoStudy(root)).rejects.toMatchObject({
      code: "no-demo",
      coach: expect.stringMatching(/serve --new FOLDER/),
    });
  });

  it("is found from any file of the package", () => {
    expect(packageRoot()).toBe(resolve(import.meta.dirname, "../.."));
    expect(() => packageRoot("file:///nowhere/x.js")).toThrow("no package.json");
  });
});
