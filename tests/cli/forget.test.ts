import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, onTestFinished, vi } from "vitest";
import { changeLibrary, libraryFile } from "../../electron/library/libraryFile.ts";
import { readStudy } from "../../electron/vault/openStudy.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { forgetSkater } from "../../src/study/forgetSkater.ts";
import { keptOf, withKept } from "../../src/study/library.ts";
import { blademark } from "../helpers/commandLine.ts";
import { STUDY, temporaryFolder } from "../helpers/studyFolder.ts";

const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");

/** The demo with a clip of Aino's own, copies of documents as they were, and a library that knows her. */
async function evening() {
  const outer = temporaryFolder();
  vi.stubEnv("BLADEMARK_HOME", join(outer, "home"));
  onTestFinished(() => void vi.unstubAllEnvs());
  const folder = join(outer, "evening");
  cpSync(DEMO, folder, { recursive: true, filter: (path) => !path.endsWith(".mp4") });
  const file = join(folder, "study.json");
  const study = JSON.parse(readFileSync(file, "utf8"));
  const own = study.trials.find((t: { skater: string; clip?: string }) => t.skater === "aino" && t.clip);
  study.clips = [
    { ...study.clips.find((c: { id: string }) => c.id === own.clip), path: "clips/own.mp4" },
    { id: "of-bea", name: "b.mp4", path: "clips/b.mp4", bytes: 3 },
  ];
  for (const t of study.trials) if (t !== own) delete t.clip;
  study.trials.find((t: { skater: string }) => t.skater === "bea").clip = "of-bea";
  study.conditions = { timedBy: "Aino's father" };
  writeFileSync(file, JSON.stringify(study));
  mkdirSync(join(folder, "clips"), { recursive: true });
  for (const name of ["own.mp4", "b.mp4"]) writeFileSync(join(folder, "clips", name), name);
  mkdirSync(join(folder, "last-good"), { recursive: true });
  writeFileSync(join(folder, "last-good", "study.json"), JSON.stringify(study));
  writeFileSync(join(folder, "notes.txt"), "Aino was tired");
  await changeLibrary((before) => withKept(before, { ...keptOf(study), rinks: [], setups: [] }));
  return { outer, folder, study };
}

/** Every file below, but for those the person wrote beside the study. */
function texts(folder: string): string[] {
  const files = readdirSync(folder, { recursive: true, encoding: "utf8" });
  return files
    .filter((f) => f !== "notes.txt" && statSync(join(folder, f)).isFile())
    .map((f) => `${f} ${readFileSync(join(folder, f), "utf8")}`);
}

describe("forget", () => {
  it("says first what it would touch and changes nothing", async () => {
    const { folder } = await evening();
    const before = texts(folder);
    const run = await blademark("forget", "S1", folder);
    expect(run.status).toBe(0);
    expect(run.said).toContain("Nothing is changed yet");
    for (const words of ["The library: Aino (S1)", "4 trials, 4 of them timed", "1 clip", "last-good"])
      expect(run.out).toContain(words);
    expect(run.out).toContain("the name, or a part of it, in conditions of the evening");
    expect(run.out).toContain("notes.txt, which is not looked into");
    expect(texts(folder)).toEqual(before);
    expect(readFileSync(libraryFile(), "utf8")).toContain("Aino");
  });

  it("says where one code stands for several people, and whose scale may rest on what goes", async () => {
    const { folder, study } = await evening();
    const nora = { name: "Nora", code: "S1", body: {} };
    await changeLibrary((before) =>
      withKept(before, { skaters: [nora], techniques: [], rinks: [], setups: [] }),
    );
    const run = await blademark("forget", "S1", folder);
    expect(run.out).toContain('"S1" stands for several names here (Aino, Nora). All of them go.');
    expect((await blademark("forget", "S2", folder)).out).not.toContain("several names");
    const of = (skater: string) => study.trials.find((t: { skater: string }) => t.skater === skater).id;
    const setups = [
      { id: "c1", name: "finish", trials: [{ trial: of("aino") }, { trial: of("bea") }] },
      { id: "c2", name: "bench", trials: [{ trial: of("bea") }] },
      { id: "c3", name: "her own", trials: [{ trial: of("aino") }] },
    ];
    expect(forgetSkater({ ...study, setups }, "S1")?.setups).toEqual(["finish"]);
  });

  it("takes her out of the library and the study, what is others' stays, and there is nothing of her left", async () => {
    const { folder, study, outer } = await evening();
    const would = await blademark("forget", "S1", folder);
    const run = await blademark("forget", "S1", folder, "--yes");
    expect(run.status).toBe(0);
    // Reading the study for the list leaves nothing else to touch: the same lines before and after.
    expect(run.out.replace("; the journal, so nothing before this can be undone", "")).toBe(
      would.out.replace("; the journal, so nothing before this can be undone", ""),
    );
    const left = JSON.parse(readFileSync(join(folder, "study.json"), "utf8"));
    const others = study.trials.filter((t: { skater: string }) => t.skater !== "aino");
    expect(left.trials).toEqual(others);
    expect(left.skaters.map((s: { code: string }) => s.code)).toEqual(["S2", "S3", "S4", "S5"]);
    expect(existsSync(join(folder, "clips", "own.mp4"))).toBe(false);
    expect(readFileSync(join(folder, "clips", "b.mp4"), "utf8")).toBe("b.mp4");
    expect(readdirSync(join(folder, "marks")).filter((f) => f.startsWith("aino"))).toEqual([]);
    expect(readdirSync(join(folder, "marks")).length).toBeGreaterThan(0);
    const named = texts(folder).filter((text) => /aino/i.test(text.replace("Aino's father", "")));
    expect(named).toEqual([]);
    const library = readFileSync(libraryFile(), "utf8");
    expect(library).not.toContain("Aino");
    expect(library).toContain("Bea");
    if (process.platform !== "win32") expect(statSync(libraryFile()).mode & 0o077).toBe(0);
    expect(await readStudy(folder, new Date())).toMatchObject({ readOnly: false, notices: [] });
    const again = await blademark("forget", "S1", folder);
    expect(again.status).toBe(1);
    expect(again.said).toContain('Nobody is called "S1"');
    expect(existsSync(join(outer, "evening", "study.lock"))).toBe(false);
  });

  it("touches nothing where a study is open or is none, the library neither", async () => {
    const { folder, outer } = await evening();
    const vault = await Vault.open(folder);
    onTestFinished(() => vault.close());
    const before = readFileSync(join(folder, "study.json"), "utf8");
    const run = await blademark("forget", "S1", folder, "--yes");
    expect(run.status).toBe(1);
    expect(run.said).toContain("is open, so nobody is forgotten in it");
    const none = await blademark("forget", "S1", folder, join(outer, "nowhere"), "--yes");
    expect(none.status).toBe(1);
    expect(readFileSync(join(folder, "study.json"), "utf8")).toBe(before);
    expect(readFileSync(libraryFile(), "utf8")).toContain("Aino");
    expect((await blademark("forget", "S1", folder, folder)).status).toBe(2);
  });
});

describe("the library", () => {
  it("takes what has the same name as it is now, keeps the rest, and no study changes by it", async () => {
    const { folder } = await evening();
    const before = readFileSync(join(folder, "study.json"), "utf8");
    const body = { stature: 1.71 };
    const after = await changeLibrary((l) =>
      withKept(l, { ...keptOf(STUDY), skaters: [{ name: "Aino", code: "A1", body }], rinks: [], setups: [] }),
    );
    expect(after.skaters.find((s) => s.name === "Aino")).toEqual({ name: "Aino", code: "A1", body });
    expect(after.skaters).toHaveLength(5);
    expect(readFileSync(join(folder, "study.json"), "utf8")).toBe(before);
    writeFileSync(libraryFile(), "{");
    await expect(changeLibrary((l) => l)).rejects.toMatchObject({ code: "damaged-library" });
    expect(readFileSync(libraryFile(), "utf8"), "what can't be read is left alone").toBe("{");
  });
});
