import {
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { Vault } from "../../electron/vault/Vault.ts";
import { MeasureError } from "../../src/errors.ts";
import { seeded } from "../helpers/random.ts";
import { MARKS, STUDY, studyFolder } from "../helpers/studyFolder.ts";
import { ALL, outcomes } from "./table.ts";

const text = (...path: string[]) => readFileSync(join(...path), "utf8");

/** Every file of a folder but what opening may add, by path. */
function contents(folder: string): Record<string, string> {
  return Object.fromEntries(
    readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .filter((path) => !/study\.lock|[/\\](damaged|cache)[/\\]/.test(path))
      .map((path) => [path, readFileSync(path, "latin1")]),
  );
}

/** A study that was saved once, so that it has good copies. */
async function savedStudy(): Promise<string> {
  const folder = studyFolder();
  const vault = await Vault.open(folder);
  await vault.saveStudy({ ...STUDY, question: "saved once" });
  await vault.saveMarks("t1", { ...MARKS, events: [] });
  await vault.close();
  return folder;
}

it("offers the last good copy of half-written and bit-flipped files, and keeps the damaged one", {
  timeout: 300_000,
}, async () => {
  const table = outcomes("half-written or bit-flipped JSON");
  const random = seeded(7);
  for (let n = 0; n < (ALL ? 300 : 12); n++) {
    const folder = await savedStudy();
    const name = n % 2 === 0 ? "study.json" : "marks/t1.json";
    const whole = readFileSync(join(folder, name));
    const at = Math.floor(random() * (whole.length - 2));
    const damaged = n % 4 < 2 ? whole.subarray(0, at) : Buffer.from(whole);
    // The topmost bit: no longer UTF-8, so it can't be a whole document by chance.
    if (n % 4 >= 2) damaged[at] = (damaged[at] ?? 0) ^ 0x80;
    writeFileSync(join(folder, name), damaged);

    const vault = await Vault.open(folder);
    const { study, marks, notices, readOnly } = vault.opened();
    expect(readOnly).toBe(false);
    expect(study.question, `case ${n}`).toBe("saved once");
    expect(marks.t1?.events, `case ${n}`).toEqual([]);
    // Writing goes on; the damaged bytes stay for whoever wants to look.
    await vault.saveStudy({ ...study, question: "after" });
    await vault.close();
    const aside = readdirSync(join(folder, "damaged"));
    expect(readFileSync(join(folder, "damaged", aside[0] as string)).equals(damaged)).toBe(true);
    expect(notices.join(" ")).toMatch(/is damaged.*kept as damaged\/.*last good copy/);
    table.came("last good copy shown, damaged one kept aside");
  }
  table.done();
});

it("notices a number that changed on the disk though nobody wrote the file", async () => {
  const folder = await savedStudy();
  const file = join(folder, "study.json");
  const copied = statSync(join(folder, "last-good", "study.json")).mtimeMs / 1000;
  const changeAt = (from: string, to: string, secondsAfterCopy: number) => {
    writeFileSync(file, text(file).replace(from, to));
    utimesSync(file, copied, copied + secondsAfterCopy);
  };
  const notices = async () => (await Vault.open(folder)).opened().notices;
  const told = [expect.stringMatching(/study\.json is not as Blademark wrote it.*last-good\/study\.json/)];
  // One bit: "5.12" becomes "5.13", a whole document with another time in it.
  changeAt("5.12", "5.13", -1);
  expect(await notices()).toEqual(told);
  // A quick disk writes file and copy within one tick of its clock. utimes loses the ticks below a microsecond, so the
  // copy is set to the same rounded time.
  utimesSync(file, copied, copied);
  utimesSync(join(folder, "last-good", "study.json"), copied, copied);
  expect(await notices()).toEqual(told);
  // Changed by hand: younger than its copy, and nobody's business.
  changeAt("5.13", "5.14", 2);
  expect(await notices()).toEqual([]);
});

it("opens or explains every mutated study, and overwrites nothing", { timeout: 300_000 }, async () => {
  const table = outcomes("mutated study files");
  const random = seeded(1000);
  const whole = JSON.stringify(STUDY);
  for (let n = 0; n < (ALL ? 1000 : 30); n++) {
    const folder = studyFolder();
    const name = random() < 0.5 ? "study.json" : "marks/t1.json";
    writeFileSync(join(folder, name), mutated(name === "study.json" ? whole : JSON.stringify(MARKS), random));
    const before = contents(folder);
    try {
      const vault = await Vault.open(folder);
      const { notices, readOnly } = vault.opened();
      for (const notice of notices) expect(notice).toMatch(/^(study|marks\/t1)\.json (is damaged|was )/);
      table.came(
        readOnly ? "shown, reading only" : notices.length > 0 ? "opens, says what is damaged" : "still valid",
      );
      await vault.close();
    } catch (error) {
      expect(error, `case ${n}: ${(error as Error).stack}`).toBeInstanceOf(MeasureError);
      expect((error as MeasureError).coach, `case ${n}`).toMatch(/study\.json/);
      table.came("refused with a reason");
    }
    expect(contents(folder), `case ${n}`).toEqual(before);
  }
  table.done();
});

/** One or two things wrong with a JSON text: bytes lost, flipped, doubled; values of another kind; fields gone. */
function mutated(json: string, random: () => number): Buffer {
  const pick = (n: number) => Math.floor(random() * n);
  if (random() < 0.5) {
    const bytes = Buffer.from(json);
    const at = pick(bytes.length);
    switch (pick(4)) {
      case 0:
        return bytes.subarray(0, at);
      case 1:
        bytes[at] = pick(256);
        return bytes;
      case 2:
        return Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + 1 + pick(8))]);
      default:
        return Buffer.concat([bytes.subarray(0, at), bytes.subarray(Math.max(0, at - pick(20)))]);
    }
  }
  const strange = [
    null,
    -1,
    1e308,
    "",
    "../../etc/passwd",
    [],
    {},
    true,
    "\u0000",
    2 ** 53,
    ["x"],
    { id: 1 },
  ];
  const paths: { holder: Record<string, unknown>; key: string }[] = [];
  const walk = (value: unknown) => {
    if (typeof value !== "object" || value === null) return;
    for (const [key, inner] of Object.entries(value)) {
      paths.push({ holder: value as Record<string, unknown>, key });
      walk(inner);
    }
  };
  const document = JSON.parse(json);
  walk(document);
  for (let i = 0; i < 1 + pick(2); i++) {
    const { holder, key } = paths[pick(paths.length)] as (typeof paths)[number];
    if (random() < 0.25 && !Array.isArray(holder)) delete holder[key];
    else holder[key] = strange[pick(strange.length)];
  }
  return Buffer.from(JSON.stringify(document));
}

it("survives a folder that goes away while it is open, and saves when it is back", async () => {
  const table = outcomes("folder removed while open, then back");
  for (const left of ["nothing", "an empty folder", "a folder with a cache"] as const) {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    await vault.saveStudy({ ...STUDY, question: "before" });
    const away = `${folder} away`;
    renameSync(folder, away);
    // What an unplugged drive leaves: its mount point.
    if (left !== "nothing")
      mkdirSync(left === "an empty folder" ? folder : join(folder, "cache"), { recursive: true });
    for (const save of [
      () => vault.saveStudy({ ...STUDY, question: "while away" }),
      () => vault.saveMarks("t1", MARKS),
    ])
      await expect(save(), left).rejects.toMatchObject({
        code: "folder-gone",
        coach: expect.stringMatching(/unplugged/),
      });
    expect(await vault.standing()).toBe("gone");
    if (left !== "nothing") {
      expect(
        readdirSync(folder).filter((n) => n !== "cache"),
        "no new study in the mount point",
      ).toEqual([]);
      rmSync(folder, { recursive: true });
    }
    renameSync(away, folder);
    await vault.saveStudy({ ...STUDY, question: "while away" });
    expect(JSON.parse(text(folder, "study.json")).question).toBe("while away");
    await vault.close();
    table.came("said so; saved once it was back");
  }
  table.done();
});

it("keeps both when a synchronising drive replaces a file, and asks", async () => {
  const table = outcomes("synchronising drive replaces a file under us");
  for (const choice of ["ours", "theirs"] as const)
    for (const name of ["study", "marks/t1"] as const) {
      const folder = studyFolder();
      const vault = await Vault.open(folder);
      const theirs = name === "study" ? { ...STUDY, question: "theirs" } : { ...MARKS, events: [] };
      const ours = name === "study" ? { ...STUDY, question: "ours" } : { ...MARKS, marks: [] };
      const save = () => (name === "study" ? vault.saveStudy(ours) : vault.saveMarks("t1", ours));
      writeFileSync(join(folder, `${name}.json`), JSON.stringify(theirs));
      for (let again = 0; again < 3; again++)
        await expect(save()).rejects.toMatchObject({ code: "changed-under-us", data: { document: name } });
      expect(JSON.parse(text(folder, `${name}.json`))).toEqual(theirs);
      const kept = readdirSync(join(folder, "conflicts")).sort();
      expect(kept, "both, once").toHaveLength(2);
      expect(
        JSON.parse(text(folder, "conflicts", kept.find((k) => k.endsWith("ours.json")) as string)),
      ).toEqual(ours);
      expect(
        JSON.parse(text(folder, "conflicts", kept.find((k) => k.endsWith("theirs.json")) as string)),
      ).toEqual(theirs);
      if (choice === "ours") {
        vault.keepOurs(name);
        await save();
      } else await vault.reopen();
      const chosen = choice === "ours" ? ours : theirs;
      expect(JSON.parse(text(folder, `${name}.json`))).toEqual(chosen);
      expect(name === "study" ? vault.opened().study : vault.opened().marks.t1).toEqual(chosen);
      await vault.close();
      table.came(`both kept; went on with ${choice}`);
    }
  table.done();
});

it("does not mind a clock that is set back", async () => {
  const table = outcomes("clock set back");
  const folder = studyFolder();
  let now = new Date("2026-11-25T20:00:00.000Z");
  for (const clock of ["2026-11-25T20:00:00.000Z", "2026-10-25T00:59:00.000Z", "1970-01-01T00:00:00.000Z"]) {
    now = new Date(clock);
    for (let n = 0; n < 4; n++) {
      writeFileSync(join(folder, "marks/t1.json"), `{ damaged at ${clock} ${n}`);
      const vault = await Vault.open(folder, () => now);
      await vault.saveStudy({ ...STUDY, question: `${clock} ${n}` });
      await vault.saveMarks("t1", MARKS);
      await vault.close();
      expect((await Vault.open(folder, () => now)).study.question).toBe(`${clock} ${n}`);
      table.came("saved; nothing overwritten");
    }
  }
  // Twelve different damaged files at three times: none took another's place.
  const kept = readdirSync(join(folder, "damaged")).map((name) => text(folder, "damaged", name));
  expect(new Set(kept).size).toBe(12);
  // The newest good copies stay, whatever the clock said when they were made.
  const older = readdirSync(join(folder, "last-good/older")).sort();
  expect(older).toHaveLength(8);
  expect(JSON.parse(text(folder, "last-good/older", older.at(-1) as string)).question).toBe(
    "1970-01-01T00:00:00.000Z 2",
  );
  table.done();
});
