import { mkdir, readdir, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { Position } from "../../src/study/exchange.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import type { Study, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { TEMPORARY } from "./atomicWrite.ts";
import { readPosition } from "./position.ts";
import { type ReadDocument, readDocument } from "./readDocument.ts";
import { idAsFileName } from "./safeName.ts";

/** Where things lie in a study folder. */
export function places(folder: string) {
  return {
    study: join(folder, "study.json"),
    marksFolder: join(folder, "marks"),
    marks: (trial: string) => join(folder, "marks", `${idAsFileName(trial)}.json`),
    lastGood: join(folder, "last-good"),
    lastGoodStudy: join(folder, "last-good", "study.json"),
    lastGoodMarks: (trial: string) => join(folder, "last-good", "marks", `${idAsFileName(trial)}.json`),
    clips: join(folder, "clips"),
    cache: join(folder, "cache"),
    position: join(folder, "cache", "position.json"),
  };
}

export interface ReadStudy {
  readonly whole: WholeStudy;
  readonly readOnly: boolean;
  readonly notices: readonly string[];
  readonly position: Position | null;
}

/**
 * Reads a study folder. Nothing in it is changed, apart from copies of damaged documents and files left behind by a
 * program that was killed while writing.
 *
 * @throws {MeasureError} `no-study`, `damaged-study`, `newer-version`, `unreadable`
 */
export async function readStudy(folder: string, now: Date): Promise<ReadStudy> {
  await mustBeFolder(folder);
  const at = places(folder);
  await removeLeftBehind(folder, now);
  const read = <T>(file: string, lastGood: string, parse: (json: unknown) => T) =>
    readDocument<T>({ study: folder, file, lastGood, now }, parse);

  const study = await read<Study>(at.study, at.lastGoodStudy, parseStudy);
  if (!study.value) throw notAStudy(folder, study);

  const documents: ReadDocument<unknown>[] = [study];
  const marks: Record<string, TrialMarks> = {};
  for (const { id } of study.value.trials) {
    const document = await read<TrialMarks>(at.marks(id), at.lastGoodMarks(id), (json) =>
      ofTrial(id, parseMarks(json)),
    );
    documents.push(document);
    if (document.value) marks[id] = document.value;
  }
  return {
    whole: { study: study.value, marks },
    readOnly: documents.some((d) => d.newer || d.untouchable) || !(await writable(folder)),
    notices: documents.flatMap((d) => d.notices),
    position: await readPosition(at.position),
  };
}

function ofTrial(id: string, marks: TrialMarks): TrialMarks {
  if (marks.trial === id) return marks;
  throw new MeasureError(
    "wrong-trial",
    `marks/${id}.json needs trial ${id}; it says ${marks.trial}`,
    `It says it belongs to trial "${marks.trial}", not "${id}".`,
  );
}

async function mustBeFolder(folder: string): Promise<void> {
  const found = await stat(folder).catch(() => null);
  if (found?.isDirectory()) return;
  throw new MeasureError(
    "no-study",
    `readStudy needs a folder; ${folder} is ${found ? "a file" : "not there"}`,
    found
      ? `${folder} is a file. Give the study's folder, the one that holds study.json.`
      : `There is no folder ${folder}. Check the name, or make a new study there with: blademark serve --new ${folder}`,
  );
}

function notAStudy(folder: string, { notices }: ReadDocument<Study>): MeasureError {
  return notices.length > 0
    ? new MeasureError("damaged-study", `study.json of ${folder} cannot be used`, notices.join(" "))
    : new MeasureError(
        "no-study",
        `readStudy needs study.json in ${folder}`,
        `${folder} holds no study.json, so it is not a study. Give another folder, or make a new study with: blademark serve --new FOLDER`,
      );
}

/** A disk or folder that may not be written is shown for reading only. */
async function writable(folder: string): Promise<boolean> {
  try {
    await mkdir(join(folder, "cache"), { recursive: true });
    return true;
  } catch {
    return false;
  }
}

/** Temporary files older than a minute have no writer any more. */
async function removeLeftBehind(folder: string, now: Date): Promise<void> {
  for (const place of [folder, join(folder, "marks"), join(folder, "clips")]) {
    for (const name of await readdir(place).catch(() => [])) {
      if (!TEMPORARY.test(name)) continue;
      const path = join(place, name);
      const age = now.getTime() - ((await stat(path).catch(() => null))?.mtimeMs ?? now.getTime());
      if (age > 60_000) await rm(path, { force: true }).catch(() => undefined);
    }
  }
}
