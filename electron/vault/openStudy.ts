import { stat } from "node:fs/promises";
import { MeasureError } from "../../src/errors.ts";
import type { Position } from "../../src/study/exchange.ts";
import { MARKS_PREFIX } from "../../src/study/journal.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { markedIds } from "../../src/study/trialViews.ts";
import type { Study, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { type Disk, realDisk } from "../disk/disk.ts";
import { places } from "./places.ts";
import { readPosition } from "./position.ts";
import { type ReadDocument, readDocument } from "./readDocument.ts";
import { idAsFileName } from "./safeName.ts";
import { strangersIn } from "./strangers.ts";
import { temporaryFiles } from "./temporaryFiles.ts";
import { unreadable } from "./unreadable.ts";

export interface ReadStudy {
  readonly whole: WholeStudy;
  readonly readOnly: boolean;
  readonly notices: readonly string[];
  readonly position: Position | null;
  /** SHA-256 of each document's file by its name in the journal, null when there is no such file. */
  readonly held: Readonly<Record<string, string | null>>;
  /** SHA-256 of the good copy that is shown where a document's own file is damaged or missing. */
  readonly copies: Readonly<Record<string, string>>;
}

/**
 * Reads a study folder. Nothing in it is changed, apart from copies of damaged documents and files left behind by a
 * program that was killed while writing.
 *
 * @throws {MeasureError} `no-study`, `damaged-study`, `newer-version`, `unreadable`
 */
export async function readStudy(
  folder: string,
  now: Date,
  disk: Disk = realDisk(folder),
): Promise<ReadStudy> {
  await mustBeFolder(folder);
  const at = places(folder);
  await removeLeftBehind(folder, now, disk);
  const read = <T>(name: string, parse: (json: unknown) => T) =>
    readDocument<T>({ study: folder, ...at.document(name), now, disk }, parse);

  const study = await read<Study>("study", parseStudy);
  if (!study.value) throw notAStudy(folder, study);

  const strangers = await strangersIn(folder, disk);
  const marksAreOurs = !strangers.some((s) => s.data.name === "marks");
  const documents: Record<string, ReadDocument<unknown>> = { study };
  const marks: Record<string, TrialMarks> = {};
  for (const id of markedIds(study.value)) {
    mustNameAFile(id);
    if (!marksAreOurs) continue;
    const name = MARKS_PREFIX + id;
    const document = await read<TrialMarks>(name, (json) => ofTrial(id, parseMarks(json)));
    documents[name] = document;
    if (document.value) marks[id] = document.value;
  }
  const all = Object.entries(documents);
  return {
    whole: { study: study.value, marks },
    readOnly: all.some(([, d]) => d.newer || d.untouchable) || strangers.length > 0,
    notices: [
      ...all.flatMap(([, d]) => d.notices),
      ...strangers.map((s) => `${s.coach} Until then nothing is written.`),
    ],
    position: await readPosition(at.position, disk),
    held: Object.fromEntries(all.map(([name, d]) => [name, d.sha256])),
    copies: Object.fromEntries(all.flatMap(([name, { copy }]) => (copy ? [[name, copy]] : []))),
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

function mustNameAFile(id: string): void {
  try {
    idAsFileName(id);
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    throw new MeasureError("damaged-study", error.message, `study.json cannot be used. ${error.coach}`);
  }
}

async function mustBeFolder(folder: string): Promise<void> {
  const found = await stat(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code === "ENOENT" || error.code === "ENOTDIR") return null;
    throw unreadable(folder, error);
  });
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
    ? new MeasureError(
        "damaged-study",
        `study.json of ${folder} cannot be used`,
        `${notices.join(" ")} Put study.json of a backup in its place: the marks and clips beside it are as they were.`,
      )
    : new MeasureError(
        "no-study",
        `readStudy needs study.json in ${folder}`,
        `${folder} holds no study.json, so it is not a study. Give another folder, or make a new study with: blademark serve --new FOLDER`,
      );
}

/** Temporary files older than a minute have no writer any more. */
async function removeLeftBehind(folder: string, now: Date, disk: Disk): Promise<void> {
  for (const { path, mtimeMs } of await temporaryFiles(folder, disk))
    if (now.getTime() - mtimeMs > 60_000) await disk.remove(path).catch(() => undefined);
}
