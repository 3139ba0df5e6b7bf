import type { Position } from "../../src/study/exchange.ts";
import { documentOf, type JournalStep, MARKS_PREFIX } from "../../src/study/journal.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import type { Disk } from "../disk/disk.ts";
import { documentText } from "./documentText.ts";
import { journalFile, readJournal } from "./journalFile.ts";
import { type LockOwner, ownerWords, releaseLock, takeLock, thisOwner } from "./lock.ts";
import { readingOnly } from "./notSaved.ts";
import { readStudy } from "./openStudy.ts";
import { places, stamp } from "./places.ts";
import { copyAs } from "./readDocument.ts";
import { type Recovered, recover } from "./recover.ts";
import { StudyWriter } from "./StudyWriter.ts";

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
    return await entered(folder, disk, now, self, owner, why);
  } catch (error) {
    if (why === null) await releaseLock(folder, self, disk).catch(() => undefined);
    throw error;
  }
}

async function entered(
  folder: string,
  disk: Disk,
  now: () => Date,
  self: LockOwner,
  owner: LockOwner | null,
  why: string | null,
): Promise<Entered> {
  const read = await readStudy(folder, now(), disk);
  const journal = await readJournal(folder, disk);
  const recovered = recover(read, journal);
  const found = { position: read.position, owner, whole: recovered.whole };
  const notices = why === null ? read.notices : [...read.notices, why];
  if (read.readOnly || why !== null) {
    if (why === null) await releaseLock(folder, self, disk);
    return { ...found, notices, writer: null, steps: [], unwritten: new Set() };
  }
  const told = [...notices, ...(await recoveredWords(folder, recovered, disk, now()))];
  const { steps, count } = recovered;
  const level = recovered.ahead.length === 0;
  const writer = new StudyWriter({
    ...{ folder, me: self, disk, now, held: read.held, damaged: Object.keys(read.copies), level },
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

/** The lock, or why it was not had: somebody else has it, or nothing can be written. */
async function lock(folder: string, me: LockOwner, disk: Disk) {
  // A folder that is no study is left alone; reading it says so.
  if (!(await isThere(places(folder).study, disk)) && !(await isThere(places(folder).lastGoodStudy, disk)))
    return { owner: null, why: null };
  try {
    const owner = await takeLock(folder, me, disk);
    return { owner, why: owner ? takenWords(owner) : null };
  } catch (error) {
    return { owner: null, why: readingOnly(error) };
  }
}

async function isThere(path: string, disk: Disk): Promise<boolean> {
  return (await disk.look(path).catch(() => null)) !== null;
}

function takenWords(owner: LockOwner): string {
  return `This study is already open by ${ownerWords(owner)} (since ${owner.opened.slice(0, 16).replace("T", " ")} UTC), so it is open here for reading only.`;
}

async function recoveredWords(
  folder: string,
  { putBack, lost }: Recovered,
  disk: Disk,
  now: Date,
): Promise<string[]> {
  const words: string[] = [];
  if (putBack > 0)
    words.push(
      `Blademark ended before everything was written. ${putBack === 1 ? "One step was" : `${putBack} steps were`} put back from the journal; nothing of them is lost.`,
    );
  if (lost > 0) {
    const kept = await keepJournal(folder, disk, now);
    words.push(
      `${lost === 1 ? "One step" : `${lost} steps`} of the journal could not be put back, because a file was changed by another program or the journal is damaged. ${kept ? `The journal is kept as ${kept}.` : ""}`.trim(),
    );
  }
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
