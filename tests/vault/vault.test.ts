import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { createStudy } from "../../electron/vault/createStudy.ts";
import { readStudy } from "../../electron/vault/openStudy.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { MARKS, STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const read = (...path: string[]) => JSON.parse(readFileSync(join(...path), "utf8"));
const CLOCK = () => new Date("2026-11-25T18:30:00.000Z");

describe("a study folder", () => {
  it("opens with its marks, and remembers where the person was", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder, CLOCK);
    expect(vault.opened()).toEqual({
      ...{ study: STUDY, marks: { t1: MARKS }, folder, readOnly: false, notices: [], position: null },
      ...{ owner: null, steps: [], stepsMade: 0 },
    });
    await vault.savePosition({ place: "measure", trial: "t1", frame: 88 });
    expect((await Vault.open(folder)).opened().position).toEqual({
      place: "measure",
      trial: "t1",
      frame: 88,
    });
  });

  it("saves the study and marks so that another opening finds them, with a last good copy of each", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder, CLOCK);
    const study = { ...STUDY, question: "Or open recovery?" };
    const marks = { ...MARKS, trial: "t2", events: [] };
    expect(await vault.saveStudy(study)).toEqual({ savedAt: "2026-11-25T18:30:00.000Z" });
    await vault.saveMarks("t2", marks);
    expect((await Vault.open(folder)).opened()).toMatchObject({ study, marks: { t1: MARKS, t2: marks } });
    expect(read(folder, "last-good", "study.json")).toEqual(study);
    expect(read(folder, "last-good", "marks", "t2.json")).toEqual(marks);
    expect(vault.opened().study).toEqual(study);
  });

  it("writes saves that come at the same moment one after the other", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const questions = Array.from({ length: 20 }, (_, i) => `question ${i}`);
    await Promise.all(questions.map((question) => vault.saveStudy({ ...STUDY, question })));
    expect(read(folder, "study.json").question).toBe("question 19");
    expect(read(folder, "last-good", "study.json").question).toBe("question 19");
  });

  it("keeps fields that it does not know, also when the window has lost them", async () => {
    const folder = studyFolder({
      ...{ ...STUDY, rinkSide: "north" },
      skaters: [{ ...STUDY.skaters[0], bladeLength: 0.29 }],
      lane: { ...STUDY.lane, iceTemperature: -4.5 },
    });
    const vault = await Vault.open(folder);
    await vault.saveStudy({ ...STUDY, question: "new" });
    expect(read(folder, "study.json")).toMatchObject({
      ...{ question: "new", rinkSide: "north" },
      skaters: [{ id: "aino", bladeLength: 0.29 }],
      lane: { iceTemperature: -4.5 },
    });
  });

  it("does not bring back known fields or things that were taken away", async () => {
    const trials = STUDY.trials.map((t) => ({ ...t, note: "slipped" }));
    const folder = studyFolder({ ...STUDY, trials });
    const vault = await Vault.open(folder);
    const [first, second] = STUDY.trials;
    await vault.saveStudy({ ...STUDY, trials: [first] });
    expect(read(folder, "study.json").trials).toEqual([first]);
    await vault.saveStudy({ ...STUDY, trials: [first, second] });
    expect(read(folder, "study.json").trials).toEqual([first, second]);
  });

  it("sets a damaged study aside untouched and shows the last good copy", async () => {
    const folder = studyFolder();
    await (await Vault.open(folder)).saveStudy({ ...STUDY, question: "kept" });
    const half = readFileSync(join(folder, "study.json"), "utf8").slice(0, 200);
    writeFileSync(join(folder, "study.json"), half);

    const vault = await Vault.open(folder, CLOCK);
    const { study, notices, readOnly } = vault.opened();
    expect(study.question).toBe("kept");
    expect(readOnly).toBe(false);
    expect(notices).toHaveLength(1);
    expect(notices[0]).toMatch(
      /study\.json is damaged.*damaged\/study 2026-11-25T18-30-00-000Z\.json.*last good copy/s,
    );
    // Opening changed nothing; saving does not lose the damaged text either.
    expect(readFileSync(join(folder, "study.json"), "utf8")).toBe(half);
    await vault.saveStudy({ ...STUDY, question: "after" });
    expect(readFileSync(join(folder, "damaged", "study 2026-11-25T18-30-00-000Z.json"), "utf8")).toBe(half);
    expect((await Vault.open(folder)).opened().notices).toEqual([]);
  });

  it("sets damaged marks aside and opens the rest", async () => {
    const folder = studyFolder(STUDY, [MARKS, { ...MARKS, trial: "t2" }]);
    writeFileSync(join(folder, "marks", "t1.json"), "{ not json");
    const { marks, notices } = (await Vault.open(folder, CLOCK)).opened();
    expect(Object.keys(marks)).toEqual(["t2"]);
    expect(notices[0]).toMatch(/marks\/t1\.json is damaged.*no good copy/s);
    expect(readFileSync(join(folder, "damaged", "t1 2026-11-25T18-30-00-000Z.json"), "utf8")).toBe(
      "{ not json",
    );
  });

  it("keeps a damaged file once, however often the study is read", async () => {
    const folder = studyFolder(STUDY, [MARKS]);
    const damage = (text: string) => writeFileSync(join(folder, "marks", "t1.json"), text);
    const aside = () => readdirSync(join(folder, "damaged"));
    const said = async () => (await readStudy(folder, new Date())).notices[0];
    damage("{ not json");
    const first = await said();
    expect(await said()).toBe(first);
    expect(aside()).toHaveLength(1);
    damage("{ nor this");
    expect(await said()).not.toBe(first);
    expect(aside()).toHaveLength(2);
  });

  it("does not take one trial's marks for another's", async () => {
    const folder = studyFolder(STUDY, []);
    writeFileSync(join(folder, "marks", "t2.json"), JSON.stringify(MARKS));
    const { marks, notices } = (await Vault.open(folder)).opened();
    expect(marks).toEqual({});
    expect(notices[0]).toMatch(/belongs to trial "t1"/);
  });

  it("says what is wrong when neither study nor copy can be read, and changes nothing", async () => {
    const folder = studyFolder();
    writeFileSync(join(folder, "study.json"), "\0\0\0\0");
    await expect(Vault.open(folder)).rejects.toMatchObject({
      code: "damaged-study",
      coach: expect.stringMatching(/study\.json is damaged.*no good copy/s),
    });
    expect(readFileSync(join(folder, "study.json"), "utf8")).toBe("\0\0\0\0");
  });

  it("uses the last good copy of a study file that has gone", async () => {
    const folder = studyFolder();
    await (await Vault.open(folder)).saveStudy(STUDY);
    rmSync(join(folder, "study.json"));
    const { study, notices } = (await Vault.open(folder)).opened();
    expect(study).toEqual(STUDY);
    expect(notices).toEqual(["study.json was missing. The last good copy was used instead."]);
  });

  it("opens a newer version for reading only and never writes to it", async () => {
    const newer = { ...STUDY, version: 2, skills: ["edges"] };
    const folder = studyFolder(newer);
    const vault = await Vault.open(folder);
    const { readOnly, notices, study } = vault.opened();
    expect(readOnly).toBe(true);
    expect(study.question).toBe(STUDY.question);
    expect(notices[0]).toMatch(/newer Blademark \(document version 2\)/);
    await expect(vault.saveStudy(STUDY)).rejects.toMatchObject({ code: "read-only" });
    await expect(vault.saveMarks("t1", MARKS)).rejects.toMatchObject({ code: "read-only" });
    expect(read(folder, "study.json")).toEqual(newer);
    expect(existsSync(join(folder, "damaged"))).toBe(false);
  });

  it("is read-only as a whole when only one trial's marks are newer", async () => {
    const vault = await Vault.open(studyFolder(STUDY, [{ ...MARKS, version: 7 }]));
    expect(vault.opened().readOnly).toBe(true);
    expect(vault.opened().marks.t1?.events).toEqual(MARKS.events);
  });

  it.each(["../t1", "..", "a/b", "a\\b", "", "t1.json", "con", "x".repeat(200), "t1\0", ".hidden"])(
    "refuses the id %j as a file name",
    async (id) => {
      const folder = studyFolder();
      const vault = await Vault.open(folder);
      await expect(vault.saveMarks(id, { ...MARKS, trial: id })).rejects.toMatchObject({ code: "bad-id" });
      expect(readdirSync(join(folder, "marks"))).toEqual(["t1.json"]);
    },
  );

  it("refuses a study whose trial would write its marks elsewhere", async () => {
    const vault = await Vault.open(studyFolder());
    const trials = STUDY.trials.map((t, i) => (i === 0 ? { ...t, id: "../../t1" } : t));
    await expect(vault.saveStudy({ ...STUDY, trials })).rejects.toMatchObject({ code: "bad-id" });
  });

  it("refuses marks that belong to another trial", async () => {
    const vault = await Vault.open(studyFolder());
    await expect(vault.saveMarks("t2", MARKS)).rejects.toMatchObject({ code: "wrong-trial" });
  });

  it("lets no request invent a way out of the folder, but keeps links that were there", async () => {
    const outside = temporaryFolder();
    const folder = studyFolder(STUDY, [MARKS], [join(outside, "a.mp4")]);
    const vault = await Vault.open(folder);
    const { study } = vault;
    await vault.saveStudy({ ...study, question: "links kept" });
    const link = { id: "x", name: "x.mp4", path: "../../etc/passwd", bytes: 1 };
    await expect(vault.saveStudy({ ...study, clips: [...study.clips, link] })).rejects.toMatchObject({
      code: "foreign-path",
    });
    await expect(
      vault.saveStudy({ ...study, clips: [{ ...link, path: "/etc/passwd" }] }),
    ).rejects.toMatchObject({ code: "foreign-path" });
    expect(vault.clips.of("x")).toBeNull();
    expect(vault.clips.of("clip-0")?.file).toBe(join(outside, "a.mp4"));
  });

  it("says that a folder without study.json is no study, and leaves it alone", async () => {
    const folder = temporaryFolder();
    await expect(Vault.open(folder)).rejects.toMatchObject({ code: "no-study" });
    await expect(Vault.open(join(folder, "nowhere"))).rejects.toMatchObject({ code: "no-study" });
    expect(readdirSync(folder)).toEqual([]);
  });

  it("makes a new, empty study only where nothing is", async () => {
    const folder = join(temporaryFolder(), "Lake Orrin", "november");
    await createStudy(folder);
    const { study, readOnly } = (await Vault.open(folder)).opened();
    expect(study).toMatchObject({ format: "blademark.study", version: 1, trials: [], clips: [] });
    expect(readOnly).toBe(false);
    await expect(createStudy(folder)).rejects.toMatchObject({ code: "folder-not-empty" });
  });

  it("tells a failed save apart from a done one", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    // A folder stands where the document belongs, so the rename cannot happen.
    rmSync(join(folder, "study.json"));
    mkdirSync(join(folder, "study.json"));
    await expect(vault.saveStudy({ ...STUDY, question: "lost?" })).rejects.toMatchObject({
      code: "not-saved",
    });
    expect(vault.study.question).toBe(STUDY.question);
  });
});
