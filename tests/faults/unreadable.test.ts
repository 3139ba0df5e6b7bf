import { createHash } from "node:crypto";
import {
  appendFileSync,
  cpSync,
  readdirSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { realDisk } from "../../electron/disk/disk.ts";
import { checkStudy } from "../../electron/vault/checkStudy.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { MeasureError } from "../../src/errors.ts";
import { unreadableDisk } from "../helpers/faultyDisk.ts";
import { markStep, numbersOf } from "../helpers/markStep.ts";
import { studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { ENDED } from "./oneSession.ts";
import { ALL, outcomes } from "./table.ts";

/** A study as a killed program leaves it: saved once, then marks 101 to 103 that only the journal holds. */
async function leftByAKill(damaged = false): Promise<string> {
  const folder = studyFolder();
  const first = await Vault.open(folder);
  await first.saveStudy({ ...first.study, question: "saved once" });
  await first.saveMarks("t1", first.opened().marks.t1);
  await first.close();
  const vault = await Vault.open(folder, undefined, { me: ENDED });
  for (const n of [101, 102, 103]) await mark(vault, n);
  if (damaged) writeFileSync(join(folder, "study.json"), "{");
  return folder;
}

async function mark(vault: Vault, n: number): Promise<void> {
  const { study, marks, stepsMade } = vault.opened();
  await vault.addSteps({ from: stepsMade, steps: [markStep({ study, marks }, "t1", n).step] });
}

const held = async (folder: string) => numbersOf((await Vault.open(folder)).opened());

it("takes nothing that it cannot read for something that is not there", { timeout: 300_000 }, async () => {
  for (const damaged of [false, true])
    for (const code of ["EIO", "EACCES"] as const) {
      const table = outcomes(`${code} at each look${damaged ? ", study.json damaged" : ""}`);
      const whole = await leftByAKill(damaged);
      for (let at = 0; ; at += ALL ? 1 : 3) {
        const folder = join(temporaryFolder(), "study");
        cpSync(whole, folder, { recursive: true });
        const disk = unreadableDisk(code, at);
        const told = [101, 102, 103];
        let came = "opens, all there";
        try {
          const vault = await Vault.open(folder, undefined, { disk });
          if (vault.opened().readOnly) came = "reading only, says why";
          if (came !== "opens, all there")
            expect(vault.opened().notices.join(" "), `look ${at}`).not.toBe("");
          else {
            await mark(vault, 104);
            told.push(104);
          }
          await vault.close();
        } catch (error) {
          expect(error, `look ${at}: ${(error as Error).stack}`).toBeInstanceOf(MeasureError);
          expect((error as MeasureError).coach).toMatch(/cannot be read|not saved|may not be/i);
          came = came === "opens, all there" ? "refused with a sentence" : came;
        }
        expect(await held(folder), `look ${at} (${came})`).toEqual(expect.arrayContaining(told));
        table.came(came);
        if (disk.looks() <= at) break;
      }
      table.done();
    }
});

it("checks the rest of a study of which something cannot be read", async () => {
  const folder = await leftByAKill();
  const real = realDisk(folder);
  expect(await real.look(join(folder, "journal.jsonl"))).not.toBeNull();
  rmSync(join(folder, "journal.jsonl"));
  // A line of odd shape, each with the sum that says it is whole.
  for (const odd of [
    "null",
    "[]",
    "7",
    '{"n":1}',
    '{"n":-1,"base":{}}',
    '{"n":1,"step":null}',
    '{"n":1,"base":{"study":7}}',
    `{"n":1,"base":${"[".repeat(5000)}${"]".repeat(5000)}}`,
    "{",
  ]) {
    const sum = createHash("sha256").update(odd).digest("hex").slice(0, 16);
    appendFileSync(join(folder, "journal.jsonl"), `${sum} ${odd}\n`);
  }
  const found = await checkStudy(folder, new Date(0), false);
  expect(found.find((f) => f.where === "journal.jsonl")).toMatchObject({
    code: "journal-empty",
    kind: "problem",
  });
  expect((await Vault.open(folder)).opened().readOnly).toBe(false);
});

it.each([
  ["empty", 0, /journal\.jsonl is there but holds nothing that can be read.*is missing.*kept as conflicts\//],
  ["full of zeros", null, /journal\.jsonl is there but holds nothing that can be read/],
] as const)("says what is missing when the journal is %s", async (_, bytes, words) => {
  const folder = await leftByAKill();
  const file = join(folder, "journal.jsonl");
  if (bytes === null) writeFileSync(file, Buffer.alloc(readFileSync(file).length));
  else truncateSync(file, bytes);
  const found = await checkStudy(folder, new Date(0), false);
  expect(found.map((f) => f.code)).toContain("journal-empty");
  const vault = await Vault.open(folder);
  expect(vault.opened().notices.join(" ")).toMatch(words);
  expect(readdirSync(join(folder, "conflicts"))).toHaveLength(1);
  await mark(vault, 201);
  await vault.close();
  const again = await Vault.open(folder);
  expect(again.opened().notices, "said once").toEqual([]);
  expect(numbersOf(again.opened())).toEqual([12, 201]);
});

it("says that the journal was cut where the files hold more", async () => {
  const folder = await leftByAKill();
  await (await Vault.open(folder)).close();
  const file = join(folder, "journal.jsonl");
  const lines = readFileSync(file, "utf8").trimEnd().split("\n");
  // The last line says with which content marks/t1.json was written.
  expect(lines.at(-1)).toContain('"writing":"marks/t1"');
  writeFileSync(file, `${lines.slice(0, -1).join("\n")}\n`);
  const vault = await Vault.open(folder);
  expect(numbersOf(vault.opened()), "nothing of the file is lost").toEqual([12, 101, 102, 103]);
  expect(vault.opened().notices.join(" ")).toMatch(/journal/);
});
