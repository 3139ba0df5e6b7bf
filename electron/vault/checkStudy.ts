import { stat } from "node:fs/promises";
import { basename, join, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { MARKS_PREFIX } from "../../src/study/journal.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { markedIds } from "../../src/study/trialViews.ts";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { type Disk, realDisk } from "../disk/disk.ts";
import { checkClip } from "./checkClip.ts";
import { type Finding, fixable, note, problem } from "./finding.ts";
import { readJournal } from "./journalFile.ts";
import { lockFile, ownerWords, readLock, runs } from "./lock.ts";
import { places } from "./places.ts";
import { type ReadDocument, readDocument } from "./readDocument.ts";
import { recover } from "./recover.ts";
import { idAsFileName } from "./safeName.ts";
import { strangersIn } from "./strangers.ts";
import { temporaryFiles } from "./temporaryFiles.ts";
import { unreadable } from "./unreadable.ts";

/** Writes nothing: looking changes no study. */
const refuse = () => Promise.reject(new Error("checking writes nothing"));
const lookingOnly = (folder: string): Disk => ({
  ...realDisk(folder),
  create: refuse,
  append: refuse,
  replace: refuse,
  rename: refuse,
  copy: refuse,
  remove: refuse,
  removeFolder: refuse,
  makeFolder: refuse,
  flushFolder: refuse,
  touch: refuse,
});

/**
 * The health of a study folder. Nothing is written.
 *
 * @param content reads every clip and compares its content, not only its size
 * @throws {MeasureError} `no-study`
 */
export async function checkStudy(given: string, now: Date, content: boolean): Promise<Finding[]> {
  const folder = resolve(given);
  if (!(await stat(folder).catch(() => null))?.isDirectory())
    throw new MeasureError(
      "no-study",
      `${folder} is no folder`,
      `There is no folder ${folder}. Check the name.`,
    );
  const at = places(folder);
  const disk = lookingOnly(folder);
  const found: Finding[] = [];
  const documents: Record<string, ReadDocument<unknown>> = {};
  /** What cannot be read is said, and the rest is looked at all the same. */
  const orSaid = async (where: string, look: () => Promise<readonly Finding[]>) => {
    try {
      found.push(...(await look()));
    } catch (error) {
      const said = unreadable(where, error);
      if (!(said instanceof MeasureError)) throw error;
      found.push(problem(said.code, where, said.coach));
    }
  };
  const read = async <T>(name: string, parse: (json: unknown) => T): Promise<T | null> => {
    let value: T | null = null;
    await orSaid(`${name}.json`, async () => {
      const document = await readDocument<T>({ study: folder, ...at.document(name), now, disk }, parse);
      documents[name] = document;
      value = document.value;
      return ofDocument(name, document);
    });
    return value;
  };

  const study = await read<Study>("study", parseStudy);
  const marks: Record<string, TrialMarks> = {};
  for (const id of study ? markedIds(study) : []) {
    const of = namesAFile(id) ? await read<TrialMarks>(MARKS_PREFIX + id, parseMarks) : null;
    if (of) marks[id] = of;
  }
  if (study) {
    await orSaid("marks", () => ofTrials(folder, study, marks, disk));
    await orSaid("journal.jsonl", () => ofJournal(folder, study, marks, documents, disk));
    for (const clip of study.clips) await orSaid(clip.path, () => checkClip(folder, clip, content));
  }
  await orSaid(".", async () =>
    (await strangersIn(folder, disk)).map(({ code, data, coach }) => problem(code, String(data.name), coach)),
  );
  await orSaid("study.lock", () => ofLock(folder, disk));
  await orSaid(".", () => ofLeftovers(folder, disk));
  return found;
}

/** Deletes what killed programs left in the middle of writing. Only for who holds the lock. */
export async function removeTemporary(folder: string): Promise<void> {
  const disk = realDisk(folder);
  for (const { path } of await temporaryFiles(folder, disk)) await disk.remove(path);
}

function ofDocument(name: string, document: ReadDocument<unknown>): Finding[] {
  const where = `${name}.json`;
  const { why, copy, newer, sha256, changedUnseen, value } = document;
  if (newer)
    return [
      problem(
        "newer-version",
        where,
        "Written by a newer Blademark: this one only shows it. Get the newer one.",
      ),
    ];
  // What stands there is no document and was not read.
  if (why !== null && sha256 === null) return [problem("not-plain", where, why)];
  if (why !== null && copy !== null)
    return [fixable("damaged", where, `Damaged. ${why} There is a good copy to put back.`)];
  if (why !== null) return [problem("damaged", where, `Damaged, and there is no good copy of it. ${why}`)];
  if (sha256 === null && copy !== null)
    return [fixable("missing", where, "Missing. There is a good copy to put back.")];
  if (sha256 === null && value === null && name === "study")
    return [problem("missing", where, "There is no study.json, so this is not a study.")];
  if (changedUnseen)
    return [
      problem(
        "changed-unseen",
        where,
        `Not as Blademark wrote it, though its date says that nobody has changed it since: the disk may be failing. Compare its numbers with last-good/${where}.`,
      ),
    ];
  return [];
}

async function ofTrials(
  folder: string,
  study: Study,
  marks: Readonly<Record<string, TrialMarks>>,
  disk: Disk,
): Promise<Finding[]> {
  const found: Finding[] = [];
  const ids = new Set(markedIds(study));
  for (const id of ids)
    if (!namesAFile(id))
      found.push(
        problem(
          "bad-id",
          "study.json",
          `The trial "${id}" cannot have marks: ids are letters, digits, "-" and "_" only.`,
        ),
      );
  for (const name of await disk.list(places(folder).marksFolder))
    if (name.endsWith(".json") && !ids.has(basename(name, ".json")))
      found.push(
        note(
          "no-trial",
          `marks/${name}`,
          "Marks of a trial that is not in the study (any more). They are kept.",
        ),
      );
  const clips = new Set(study.clips.map((c) => c.id));
  for (const [id, { picture }] of Object.entries(marks))
    if (picture && !clips.has(picture.clip))
      found.push(
        note(
          "no-clip",
          `marks/${id}.json`,
          "The clip these marks were put on is not in the study (any more). They are measured all the same.",
        ),
      );
  return found;
}

async function ofJournal(
  folder: string,
  study: Study,
  marks: Readonly<Record<string, TrialMarks>>,
  documents: Readonly<Record<string, ReadDocument<unknown>>>,
  disk: Disk,
): Promise<Finding[]> {
  const held = Object.fromEntries(Object.entries(documents).map(([name, d]) => [name, d.sha256]));
  const copies = Object.fromEntries(
    Object.entries(documents).flatMap(([name, d]) => (d.copy === null ? [] : [[name, d.copy]])),
  );
  const { putBack, lost, beyond, empty } = recover(
    { whole: { study, marks }, held, copies },
    await readJournal(folder, disk),
  );
  const where = "journal.jsonl";
  return [
    ...(putBack > 0
      ? [
          fixable(
            "not-written",
            where,
            `${steps(putBack)} not in the files yet. Opening the study puts them back.`,
          ),
        ]
      : []),
    ...(lost > 0
      ? [
          problem(
            "does-not-fit",
            where,
            `${steps(lost)} fit no file: a file was changed by another program, or the journal is damaged.`,
          ),
        ]
      : []),
    ...(empty
      ? [
          problem(
            "journal-empty",
            where,
            "It is there but holds nothing that can be read. Steps done after the files were last written, if any, are missing.",
          ),
        ]
      : []),
    ...beyond.map((name) =>
      note(
        "journal-cut",
        where,
        `It ends before what ${name}.json holds: it was cut, or another program changed the file. Nothing of the file is lost, but earlier steps can't be undone.`,
      ),
    ),
  ];
}

const steps = (n: number) => (n === 1 ? "One step is" : `${n} steps are`);

async function ofLock(folder: string, disk: Disk): Promise<Finding[]> {
  if (!(await disk.look(lockFile(folder)))) return [];
  const owner = await readLock(folder, disk);
  if (!owner || !(await runs(owner)))
    return [
      fixable("old-lock", "study.lock", "Left by a program that has ended. Opening the study replaces it."),
    ];
  return [note("open", "study.lock", `The study is open by ${ownerWords(owner)}.`)];
}

async function ofLeftovers(folder: string, disk: Disk): Promise<Finding[]> {
  const found = (await temporaryFiles(folder, disk)).map((file) =>
    fixable("left-behind", file.name, "Left by a program that was killed while writing."),
  );
  for (const [name, what] of [
    ["damaged", "damaged files that were set aside"],
    ["conflicts", "files that two programs changed; both are here"],
  ] as const) {
    const files = await disk.list(join(folder, name));
    if (files.length > 0)
      found.push(
        note(name, name, `Holds ${what} (${files.length}). Delete them when you need them no more.`),
      );
  }
  return found;
}

function namesAFile(id: string): boolean {
  try {
    return idAsFileName(id) === id;
  } catch {
    return false;
  }
}
