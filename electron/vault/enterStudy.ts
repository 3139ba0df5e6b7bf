import { MeasureError } from "../../src/errors.ts";
import type { Position } from "../../src/study/exchange.ts";
import { documentOf, type JournalStep, MARKS_PREFIX } from "../../src/study/journal.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import type { Disk } from "../disk/disk.ts";
import { documentText } from "./documentText.ts";
import { journalFile, type ReadJournal, readJournal } from "./journalFile.ts";
import { type LockOwner, ownerWords, releaseLock, takeLock, thisOwner } from "./lock.ts";
import { readingOnly } from "./notSaved.ts";
import { readStudy } from "./openStudy.ts";
import { places, stamp } from "./places.ts";
import { copyAs } from "./readDocument.ts";
import { type Recovered, recover } from "./recover.ts";
import { StudyWriter } from "./StudyWriter.ts";
import { unreadable } from "./unreadable.ts";

/** Undo reaches back this many steps after a study is opened again, and this much of a journal is kept. */
const STEPS_KEPT = 2000;

export interface Entered {
  readonly whole: WholeStudy;
  readonly notices: readonly string[];
  readonly position: Position | null;
  /** null: open for reading only. */
  readonly writer: StudyWriter | null;
  /** Who else has the study open for writing. */
  readonly owner: LockOwner | null;
  readonly steps: readonly JournalStep[];
  /** Documents that hold more than their files. */
  readonly unwritten: ReadonlySet<string>;
}

/**
 * Opens a study folder for writing if that may be: takes its lock, puts back what the journal holds and the files do
 * not. Else it is open for reading only and the notices say why.
 *
 * @throws {MeasureError} see readStudy
 */
export async function enterStudy(
  folder: string,
  disk: Disk,
  now: () => Date,
  me?: LockOwner,
): Promise<Entered> {
  const self = me ?? (await thisOwner(now()));
  const { owner, why } = await lock(folder, self, disk);
  try {
    return await entered({ folder, disk, now, self, owner, why });
  } catch (error) {
    if (why === null) await releaseLock(folder, self, disk).catch(() => undefined);
    throw unreadable(folder, error);
  }
}

/** What is known once the lock was asked for. */
interface AtTheDoor {
  readonly folder: string;
  readonly disk: Disk;
  readonly now: () => Date;
  readonly self: LockOwner;
  readonly owner: LockOwner | null;
  /** Why the lock was not taken; null: it is ours. */
  readonly why: string | null;
}

async function entered({ folder, disk, now, self, owner, why }: AtTheDoor): Promise<Entered> {
  const read = await readStudy(folder, now(), disk);
  const journal = await journalOrWhy(folder, disk);
  const recovered = recover(read, "why" in journal ? NO_JOURNAL : journal);
  const found = { position: read.position, owner, whole: recovered.whole };
  const notices = [
    ...read.notices,
    ...(why === null ? [] : [why]),
    // What is no plain file has been told of already.
    ...("why" in journal && !read.readOnly ? [journal.why] : []),
  ];
  const onlyReading = async (told: readonly string[]): Promise<Entered> => {
    if (why === null) await releaseLock(folder, self, disk).catch(() => undefined);
    return { ...found, notices: told, writer: null, steps: [], unwritten: new Set() };
  };
  if (read.readOnly || why !== null || "why" in journal) return onlyReading(notices);
  const kept = recovered.lost > 0 || recovered.empty ? await keepJournal(folder, disk, now()) : null;
  const told = [...notices, ...recoveredWords(recovered, kept)];
  if (recovered.lost > 0 && kept === null) return onlyReading([...told, NOT_KEPT]);
  const { steps, count } = recovered;
  const level = recovered.ahead.length === 0;
  const writer = new StudyWriter({
    folder,
    me: self,
    disk,
    now,
    held: read.held,
    damaged: Object.keys(read.copies),
    level,
    steps: level && steps.length > STEPS_KEPT ? null : count,
  });
  const unwritten = new Set(recovered.ahead);
  for (const document of recovered.ahead) {
    try {
      await writer.replace(document, textOf(recovered.whole, document), count);
      unwritten.delete(document);
    } catch {
      // Kept in memory and in the journal; the next save tries again and says why it failed.
    }
  }
  return { ...found, notices: told, writer, steps: steps.slice(-STEPS_KEPT), unwritten };
}

const NO_JOURNAL: ReadJournal = { entries: [], damaged: false, empty: false };

const NOT_KEPT =
  "The journal could not be copied, so nothing is written over it: the study is open for reading only.";

/** The journal, or why it is not known what it holds: then nothing may be written over it. */
async function journalOrWhy(folder: string, disk: Disk): Promise<ReadJournal | { readonly why: string }> {
  try {
    return await readJournal(folder, disk);
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    return {
      why: `${error.coach} It holds the newest steps, which may be missing here, so the study is open for reading only.`,
    };
  }
}

/** The lock, or why it was not taken: somebody else has it, or nothing can be written. */
async function lock(folder: string, me: LockOwner, disk: Disk) {
  try {
    // A folder that is no study is left alone; reading it says so.
    const { study, lastGoodStudy } = places(folder);
    if (!(await disk.look(study)) && !(await disk.look(lastGoodStudy))) return { owner: null, why: null };
    const owner = await takeLock(folder, me, disk);
    return { owner, why: owner ? takenWords(owner) : null };
  } catch (error) {
    return { owner: null, why: readingOnly(error) };
  }
}

function takenWords(owner: LockOwner): string {
  return `This study is already open by ${ownerWords(owner)} (since ${owner.opened.slice(0, 16).replace("T", " ")} UTC), so it is open here for reading only.`;
}

function recoveredWords({ putBack, lost, beyond, empty }: Recovered, kept: string | null): string[] {
  const words: string[] = [];
  if (putBack > 0)
    words.push(
      `Blademark ended before everything was written. ${putBack === 1 ? "One step was" : `${putBack} steps were`} put back from the journal; nothing of them is lost.`,
    );
  if (lost > 0) {
    words.push(
      `${lost === 1 ? "One step" : `${lost} steps`} of the journal could not be put back, because a file was changed by another program or the journal is damaged. ${kept ? `The journal is kept as ${kept}.` : ""}`.trim(),
    );
  }
  if (empty)
    words.push(
      `journal.jsonl is there but holds nothing that can be read. What was done after the files were last written, if anything, is missing; what was done before can't be undone.${kept ? ` It is kept as ${kept}.` : ""}`,
    );
  if (beyond.length > 0)
    words.push(
      `The journal ends before what ${beyond.map((name) => `${name}.json`).join(", ")} holds: it was cut, or another program changed the file. The file is shown as it is; what was done before can't be undone.`,
    );
  return words;
}

async function keepJournal(folder: string, disk: Disk, now: Date): Promise<string | null> {
  try {
    await disk.makeFolder(places(folder).conflicts);
    const kept = await copyAs(journalFile(folder), places(folder).conflicts, `journal ${stamp(now)}`, disk);
    return kept
      .slice(folder.length + 1)
      .split("\\")
      .join("/");
  } catch {
    return null;
  }
}

/** A document as its file holds it; marks that undo took away altogether are a file without marks. */
export function textOf(whole: WholeStudy, document: string): string {
  return documentText(documentOf(whole, document) ?? emptyMarks(document.slice(MARKS_PREFIX.length)));
}
