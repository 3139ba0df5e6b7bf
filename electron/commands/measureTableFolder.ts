import { readdir } from "node:fs/promises";
import { join, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { motionFault } from "../../src/motion/motionFault.ts";
import { studyFromTables } from "../../src/study/studyFromTables.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import type { Io } from "./Command.ts";
import { tellStudy } from "./measureStudy.ts";
import { readTableFile } from "./tables.ts";

/** One trial, or all, of the study that a report's tables are of. @returns the exit status */
export async function measureTableFolder(
  dir: string,
  asked: { readonly trial: string | undefined; readonly json: boolean; readonly seed: number | null },
  io: Io,
): Promise<number> {
  const folder = resolve(dir);
  const files = await readdir(folder).catch(() => []);
  const tables = files.flatMap((file) => /^(\w+)\.csv$/.exec(file)?.[1] ?? []);
  if (!tables.includes("trials"))
    throw new MeasureError(
      "no-tables",
      `no trials.csv in ${folder}`,
      `There is no trials.csv in ${dir}. Name the folder tables that "report STUDY --out FOLDER" makes.`,
    );
  const texts = new Map<string, string>();
  for (const name of tables)
    texts.set(name, await readTableFile(join(folder, `${name}.csv`), (text) => text));
  const whole = studyFromTables((name) => texts.get(name) ?? null);
  checkMotions(whole);
  return tellStudy(whole, { ...asked, what: dir }, io);
}

/** @throws {MeasureError} `bad-motion` */
function checkMotions({ marks }: WholeStudy): void {
  for (const { trial, motion, picture } of Object.values(marks)) {
    const fault = motion && picture ? motionFault(motion, picture) : null;
    if (fault === null) continue;
    throw new MeasureError(
      "bad-motion",
      `motion.csv, ${trial}: ${fault}`,
      `motion.csv: this can't be how the clip of ${trial} moves: ${fault}.`,
      { trial },
    );
  }
}
