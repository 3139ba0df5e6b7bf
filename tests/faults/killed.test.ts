import { spawn } from "node:child_process";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { build } from "esbuild";
import { expect, it } from "vitest";
import { Vault } from "../../electron/vault/Vault.ts";
import { numbersOf } from "../helpers/markStep.ts";
import { seeded } from "../helpers/random.ts";
import { studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { ALL, outcomes } from "./table.ts";

const KILLS = ALL ? 200 : 8;
/** The fixture's own marks stand at frames below this. */
const FIRST = 1000;

async function program(): Promise<string> {
  const outfile = join(temporaryFolder(), "marking.mjs");
  await build({
    entryPoints: [join(import.meta.dirname, "markingChild.ts")],
    ...{ outfile, bundle: true, platform: "node", target: "node20", format: "esm" },
    // CommonJS packages inside an ES module need a require of their own.
    banner: {
      js: 'import { createRequire } from "node:module"; const require = createRequire(import.meta.url);',
    },
  });
  return outfile;
}

/** Marks until it is killed, by its own process id, some milliseconds after so many marks, however long they take. */
async function killedAfter(
  file: string,
  folder: string,
  first: number,
  marks: number,
  ms: number,
): Promise<number[]> {
  const child = spawn(process.execPath, [file, folder, String(first)], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const ended = new Promise((resolve) => child.once("exit", (_code, signal) => resolve(signal)));
  const told: number[] = [];
  for await (const line of createInterface({ input: child.stdout })) {
    if (line !== "open") told.push(Number(line));
    if (told.length === marks) setTimeout(() => child.kill("SIGKILL"), ms);
  }
  expect(await ended, "it was killed, it did not fail").toBe("SIGKILL");
  return told;
}

it(`loses no acknowledged mark in ${KILLS} kills of the process while it marks and saves`, {
  timeout: 300_000,
}, async () => {
  const table = outcomes("killed by process id while marking and saving");
  const file = await program();
  const random = seeded(20261125);
  let folder = studyFolder();
  let all: number[] = [];
  let made = 0;
  for (let kill = 0; kill < KILLS; kill++) {
    // A study is used again and again, so that kills also strike a journal that has been put back before.
    if (kill % 10 === 0) {
      folder = studyFolder();
      all = [];
    }
    const first = FIRST + (all.at(-1) ?? 0) - (all.length > 0 ? FIRST - 1 : 0);
    const told = await killedAfter(file, folder, first, Math.floor(random() * 40), random() * 20);
    made += told.length;
    const vault = await Vault.open(folder);
    const { readOnly, notices, study, marks } = vault.opened();
    expect(readOnly, "the killed process's lock does not hold").toBe(false);
    expect(
      notices.filter((n) => /damaged|missing|could not/.test(n)),
      `kill ${kill}`,
    ).toEqual([]);
    const found = numbersOf({ study, marks }).filter((n) => n >= FIRST);
    // All of them, each once, without a gap; at most the one that was on its way besides.
    expect(found, `kill ${kill}`).toEqual(found.map((_, i) => FIRST + i));
    expect(found.length - all.length - told.length, `kill ${kill}`).toBeOneOf([0, 1]);
    expect(found.length).toBeGreaterThanOrEqual(all.length + told.length);
    all = found;
    await vault.close();
    table.came("no acknowledged mark lost");
  }
  expect(made).toBeGreaterThan(5 * KILLS);
  table.done();
});
