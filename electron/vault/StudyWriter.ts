import { basename, dirname } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { JournalStep } from "../../src/study/journal.ts";
import { type Disk, DOCUMENT_BYTES } from "../disk/disk.ts";
import { writeAtomically } from "./atomicWrite.ts";
import { type Entry, entryLine, journalFile } from "./journalFile.ts";
import { keepLastGood, keepOlder } from "./lastGood.ts";
import { type LockOwner, lockFile, ownerWords, readLock, releaseLock, seizeLock } from "./lock.ts";
import { places, sha256, stamp } from "./places.ts";
import { copyAs } from "./readDocument.ts";

/** An older good copy is kept when a document is first written after opening, and then every so often. */
const OLDER_EVERY_MS = 10 * 60_000;

export interface WriterStart {
  readonly folder: string;
  readonly me: LockOwner;
  readonly disk: Disk;
  readonly now: () => Date;
  readonly held: Readonly<Record<string, string | null>>;
  /** Documents whose own file is damaged: it is no good copy. */
  readonly damaged: readonly string[];
  /** Steps in the journal so far; null = the journal begins anew. */
  readonly steps: number | null;
  /** Every file holds the state after those steps. */
  readonly level: boolean;
}

/**
 * Writes into one study folder for the one who holds its lock. It knows what each file held when it was last read or
 * written, and never writes over anything else. Calls must follow one another.
 */
export class StudyWriter {
  readonly me: LockOwner;
  readonly #folder: string;
  readonly #disk: Disk;
  readonly #now: () => Date;
  readonly #held: Map<string, string | null>;
  readonly #damaged: Set<string>;
  /** When an older copy of each document was last kept, on the clock that is never set back. */
  readonly #olderAt = new Map<string, number>();
  /** What another program put in the place of a document, already kept aside. */
  readonly #theirs = new Map<string, string>();
  #steps: number;
  /** The journal's file has a line saying what the files held when its next steps went on from there. */
  #based: boolean;
  #fresh: boolean;
  /** The journal may end in a line that a kill or a full disk broke off. */
  #torn = true;

  constructor({ folder, me, disk, now, held, damaged, steps, level }: WriterStart) {
    this.#folder = folder;
    this.me = me;
    this.#disk = disk;
    this.#now = now;
    this.#held = new Map(Object.entries(held));
    this.#damaged = new Set(damaged);
    this.#steps = steps ?? 0;
    this.#fresh = steps === null;
    this.#based = !level;
  }

  /** Steps made so far, in this session of the journal. */
  get steps(): number {
    return this.#steps;
  }

  /** @throws {MeasureError} `folder-gone`, `taken-over` */
  async mustBeOurs(): Promise<void> {
    const lock = await readLock(this.#folder, this.#disk);
    if (lock?.token === this.me.token) return;
    if (lock) throw takenOver(lock);
    // The folder may be an empty one that a drive leaves behind when it is unplugged: never start a study there.
    if (!(await this.#disk.look(places(this.#folder).study).catch(() => null))) throw gone(this.#folder);
    await seizeLock(this.#folder, this.me, this.#disk);
  }

  /** Steps at the end of the journal, on the disk when this resolves. */
  async append(steps: readonly JournalStep[]): Promise<void> {
    await this.mustBeOurs();
    const base: Entry[] = this.#based ? [] : [{ n: this.#steps, base: Object.fromEntries(this.#held) }];
    const entries: Entry[] = [...base, ...steps.map((step, i) => ({ n: this.#steps + i + 1, step }))];
    await this.#appendEntries(entries);
    this.#steps += steps.length;
  }

  /** The journal begins anew: what it held is no longer what led here. */
  forget(): void {
    this.#fresh = true;
    this.#based = false;
    this.#steps = 0;
  }

  /**
   * Puts a document in its place, with its good copies.
   *
   * @param after how many steps of the journal the text holds; null = the journal does not lead to it
   * @throws {MeasureError} `folder-gone`, `taken-over`, `changed-under-us`
   */
  async replace(document: string, text: string, after: number | null): Promise<void> {
    await this.mustBeOurs();
    const { file, lastGood } = places(this.#folder).document(document);
    await this.#mustBeAsLeft(document, file, text);
    if (after === null) this.forget();
    else if (this.#based) await this.#appendEntries([{ n: after, writing: document, sha256: sha256(text) }]);
    await this.#disk.makeFolder(dirname(file));
    await this.#keepOlder(document, file, lastGood);
    await writeAtomically(file, text, this.#disk);
    this.#held.set(document, sha256(text));
    this.#damaged.delete(document);
    await keepLastGood(lastGood, text, this.#disk);
  }

  /** A person chose to write over what another program put there. It is kept aside. */
  keepOurs(document: string): void {
    const theirs = this.#theirs.get(document);
    if (theirs !== undefined) this.#held.set(document, theirs);
  }

  async release(): Promise<void> {
    await releaseLock(this.#folder, this.me, this.#disk);
  }

  async #appendEntries(entries: readonly Entry[]): Promise<void> {
    const text = entries.map(entryLine).join("");
    const file = journalFile(this.#folder);
    if (this.#fresh) await writeAtomically(file, text, this.#disk);
    else {
      const line = this.#torn ? `\n${text}` : text;
      this.#torn = true;
      await this.#disk.append(file, line);
    }
    this.#torn = false;
    this.#fresh = false;
    this.#based = true;
  }

  /** A file that is not as we left it was replaced by another program: both are kept, and a person decides. */
  async #mustBeAsLeft(document: string, file: string, ours: string): Promise<void> {
    const theirs = await this.#disk.read(file, DOCUMENT_BYTES);
    // A file that was deleted holds nothing that could be lost.
    if (theirs === null) return;
    const sum = sha256(theirs);
    if (sum === (this.#held.get(document) ?? null) || sum === sha256(ours)) return;
    if (this.#theirs.get(document) !== sum) await this.#keepBoth(file, ours);
    this.#theirs.set(document, sum);
    throw new MeasureError(
      "changed-under-us",
      `${file} is not as it was last read or written`,
      `Another program (a synchronising drive, or Blademark on another machine) has changed ${document}.json. Both are kept in the folder "conflicts". Choose which one the study goes on with.`,
      { document },
    );
  }

  async #keepBoth(file: string, ours: string): Promise<void> {
    const { conflicts } = places(this.#folder);
    const stem = `${basename(file, ".json")} ${stamp(this.#now())}`;
    await this.#disk.makeFolder(conflicts);
    await copyAs(file, conflicts, `${stem} theirs`, this.#disk);
    await writeAtomically(`${conflicts}/${stem} ours.json`, ours, this.#disk);
  }

  async #keepOlder(document: string, file: string, lastGood: string): Promise<void> {
    const now = performance.now();
    const before = this.#olderAt.get(document);
    if (before !== undefined && now - before < OLDER_EVERY_MS) return;
    const from = this.#damaged.has(document) ? lastGood : file;
    if (await this.#disk.look(from)) await keepOlder(from, lastGood, this.#disk);
    this.#olderAt.set(document, now);
  }
}

function gone(folder: string): MeasureError {
  return new MeasureError(
    "folder-gone",
    `${folder} does not hold study.json or our lock any more (${lockFile(folder)})`,
    `Not saved: the study folder is not there (${folder}). Was a drive unplugged, or the folder moved? Put it back; what you did is kept in the window and saved then.`,
  );
}

function takenOver(owner: LockOwner): MeasureError {
  return new MeasureError(
    "taken-over",
    `the lock belongs to process ${owner.pid} on ${owner.host} now`,
    `Not saved: this study has been taken over by ${ownerWords(owner)}. It is open here for reading only.`,
  );
}
