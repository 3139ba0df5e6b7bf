import { resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { OpenedStudy, Position, Saved } from "../../src/study/exchange.ts";
import { type JournalStep, MARKS_PREFIX } from "../../src/study/journal.ts";
import { trialMarks } from "../../src/study/marksSchema.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { withCheckedChanges } from "../../src/study/parseSteps.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { study as studySchema } from "../../src/study/schema.ts";
import { markedIds } from "../../src/study/trialViews.ts";
import type { Study, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { type Disk, type DiskOf, LINE_BYTES, realDisk } from "../disk/disk.ts";
import { type Entered, enterStudy, textOf } from "./enterStudy.ts";
import { keepUnknown } from "./keepUnknown.ts";
import { askedFile, type LockOwner, ownerWords, readLock, thisOwner } from "./lock.ts";
import { notMadeYet, readSteps } from "./newSteps.ts";
import { notSaved } from "./notSaved.ts";
import { places } from "./places.ts";
import { parsePosition, writePosition } from "./position.ts";
import { StudyClips } from "./StudyClips.ts";
import { letGo } from "./takeOver.ts";

export interface VaultOptions {
  /** Where writes go; another one in tests. */
  readonly disk?: DiskOf;
  /** Who opens it; absent = this process. */
  readonly me?: LockOwner;
}

/**
 * One open study folder. Documents are parsed before they are written; writes follow one another, each atomic, each
 * followed by its last good copy. Steps of the journal are on the disk as soon as they are acknowledged.
 */
export class Vault {
  readonly folder: string;
  readonly #now: () => Date;
  readonly #options: VaultOptions;
  /** Its only way to the folder, and that of whatever else keeps things there. */
  readonly disk: Disk;
  readonly clips: StudyClips;
  #entered: Entered;
  #whole: WholeStudy;
  #position: Position | null;
  #steps: readonly JournalStep[];
  readonly #unwritten: Set<string>;
  #writing: Promise<unknown> = Promise.resolve();

  private constructor(folder: string, disk: Disk, entered: Entered, now: () => Date, options: VaultOptions) {
    this.folder = folder;
    this.disk = disk;
    this.clips = new StudyClips(
      folder,
      disk,
      () => this.study,
      () => this.#mustBeWritable(),
    );
    this.#entered = entered;
    this.#now = now;
    this.#options = options;
    this.#whole = entered.whole;
    this.#position = entered.position;
    this.#steps = entered.steps;
    this.#unwritten = new Set(entered.unwritten);
  }

  /** @throws {MeasureError} see readStudy */
  static async open(
    folder: string,
    now: () => Date = () => new Date(),
    options: VaultOptions = {},
  ): Promise<Vault> {
    const whole = resolve(folder);
    const disk = (options.disk ?? realDisk)(whole);
    const entered = await enterStudy(whole, disk, now, options.me);
    return new Vault(whole, disk, entered, now, options);
  }

  get study(): Study {
    return this.#whole.study;
  }

  /** A trial's or further view's marks as they stand; undefined where there are none. */
  marksOf(id: string): TrialMarks | undefined {
    return this.#whole.marks[id];
  }

  get cacheFolder(): string {
    return places(this.folder).cache;
  }

  /** The study as it stands, for a window that opens it now. */
  opened(): Omit<OpenedStudy, "run"> {
    const { notices, owner, writer } = this.#entered;
    return {
      ...this.#whole,
      folder: this.folder,
      readOnly: writer === null,
      notices,
      position: this.#position,
      owner: owner ? ownerWords(owner) : null,
      steps: this.#steps,
      stepsMade: writer?.steps ?? 0,
    };
  }

  /**
   * @param after how many steps of the journal the study holds; null = it was not made by steps
   * @throws {MeasureError} `read-only`, `foreign-path`, `changed-under-us`, or what parseStudy refuses
   */
  async saveStudy(json: unknown, after: number | null = null): Promise<Saved> {
    const given = parseStudy(json);
    this.#mustStayHere(given);
    return this.#inTurn(async () => {
      const study = keepUnknown(studySchema, this.study, given);
      await this.#write("study", { ...this.#whole, study }, after);
      this.clips.saved(study.clips);
    });
  }

  /** @throws {MeasureError} `read-only`, `wrong-trial`, `bad-id`, `changed-under-us`, or what parseMarks refuses */
  async saveMarks(trial: string, json: unknown, after: number | null = null): Promise<Saved> {
    places(this.folder).marks(trial);
    const given = parseMarks(json);
    if (given.trial !== trial) {
      throw new MeasureError(
        "wrong-trial",
        `saveMarks got marks of trial ${given.trial} for trial ${trial}`,
        `These marks belong to trial "${given.trial}", not "${trial}". Nothing was saved.`,
      );
    }
    return this.#inTurn(async () => {
      const marks = keepUnknown(trialMarks, this.#whole.marks[trial], given);
      const whole = { ...this.#whole, marks: { ...this.#whole.marks, [trial]: marks } };
      await this.#write(MARKS_PREFIX + trial, whole, after);
    });
  }

  /**
   * Steps a person made, on the disk when this resolves: `{from, steps}`, the first of them being number `from` + 1.
   * Steps that are there already are not made twice.
   *
   * @throws {MeasureError} `read-only`, `bad-steps`, `steps-missing`, `other-steps`, `changes-do-not-fit`, what the
   *   parsers refuse
   */
  async addSteps(json: unknown): Promise<Saved & { readonly stepsMade: number }> {
    const given = readSteps(json);
    const saved = await this.#inTurn(async () => {
      const writer = this.#mustBeWritable();
      const steps = notMadeYet(given, this.#steps, writer.steps);
      if (steps.length === 0) return;
      const changes = steps.flatMap((s) => s.changes);
      const whole = withCheckedChanges(this.#whole, changes);
      for (const { document } of changes) places(this.folder).document(document);
      this.#mustStayHere(whole.study);
      if (writer.steps === 0) await this.#writeRest(null);
      await writer.append(steps);
      this.#whole = whole;
      this.#steps = [...this.#steps, ...steps];
      for (const { document } of changes) this.#unwritten.add(document);
    });
    return { ...saved, stepsMade: this.#entered.writer?.steps ?? 0 };
  }

  async savePosition(json: unknown): Promise<void> {
    this.#position = parsePosition(json);
    const position = this.#position;
    if (this.#entered.writer)
      await this.#inTurn(() => writePosition(places(this.folder).position, position, this.disk));
  }

  /** A person chose what this window holds of a document over what another program put there. */
  keepOurs(document: string): void {
    this.#mustBeWritable().keepOurs(document);
  }

  /** Reads the folder anew: a person chose what is there, or the lock may be free now. Steps so far are not undone. */
  async reopen(me = this.#entered.writer?.me ?? this.#options.me): Promise<void> {
    await this.#writing;
    const entered = await enterStudy(this.folder, this.disk, this.#now, me);
    this.#entered = entered;
    this.#whole = entered.whole;
    this.#steps = entered.steps;
    this.#unwritten.clear();
    for (const document of entered.unwritten) this.#unwritten.add(document);
  }

  /** Ends writing: another window or program has the study now. What was acknowledged is on the disk. */
  async stopWriting(why: string): Promise<void> {
    const { writer } = this.#entered;
    if (!writer) return;
    await this.#inTurn(() => this.#writeRest(writer.steps)).catch(() => undefined);
    await writer.release().catch(() => undefined);
    this.#entered = { ...this.#entered, writer: null, notices: [...this.#entered.notices, why] };
  }

  /** Whether the lock is still ours, and whether somebody asks for it. */
  async standing(): Promise<"ours" | "asked" | "taken" | "gone" | "reading"> {
    const { writer } = this.#entered;
    if (!writer) return "reading";
    try {
      await this.#inTurn(() => writer.mustBeOurs());
    } catch (error) {
      return error instanceof MeasureError && error.code === "taken-over" ? "taken" : "gone";
    }
    const asked = await this.disk.read(askedFile(this.folder), LINE_BYTES).catch(() => null);
    return asked === null ? "ours" : "asked";
  }

  /** Takes the study over from whoever has it: they are asked first, and have three seconds to write the rest. */
  async takeOver(): Promise<void> {
    if (this.#entered.writer) return;
    const me = this.#options.me ?? (await thisOwner(this.#now()));
    // Whoever has it now: it may have changed hands since it was opened here.
    try {
      const owner = await readLock(this.folder, this.disk);
      if (owner) await letGo(this.folder, owner, me, this.disk);
    } catch (error) {
      throw notSaved(this.folder, error);
    }
    await this.reopen(me);
  }

  /** Resolves when everything handed in so far is on disk. */
  async settled(): Promise<void> {
    await this.#writing;
  }

  /** Writes what the journal alone holds, and gives the lock back. */
  async close(): Promise<void> {
    await this.settled();
    const { writer } = this.#entered;
    if (!writer) return;
    await this.#inTurn(() => this.#writeRest(writer.steps)).catch(() => undefined);
    await writer.release().catch(() => undefined);
    await this.disk.remove(askedFile(this.folder)).catch(() => undefined);
  }

  /** No document leads out of the folder: neither a clip's new link, nor a trial's id as the name of its marks. */
  #mustStayHere(study: Study): void {
    for (const link of study.clips) this.clips.mustBeOurs(link);
    for (const id of markedIds(study)) places(this.folder).marks(id);
  }

  #mustBeWritable() {
    const { writer } = this.#entered;
    if (writer) return writer;
    throw new MeasureError(
      "read-only",
      `${this.folder} is open for reading only`,
      "This study is open for reading only, so nothing was saved. The notice at the top says why.",
    );
  }

  /** Writes one document of `next`. One that holds fewer steps than the journal does not take its place in memory. */
  async #write(document: string, next: WholeStudy, after: number | null): Promise<void> {
    const writer = this.#mustBeWritable();
    const known = after !== null && after <= writer.steps ? after : null;
    if (known === null) await this.#writeRest(null, document);
    const current = known === null || known === writer.steps;
    await writer.replace(document, textOf(next, document), known);
    if (!current) return;
    this.#whole = next;
    this.#unwritten.delete(document);
    if (known === null) this.#steps = [];
  }

  /** Writes every document that the journal alone holds, but for one. */
  async #writeRest(after: number | null, except?: string): Promise<void> {
    const { writer } = this.#entered;
    for (const document of [...this.#unwritten].filter((d) => d !== except)) {
      await writer?.replace(document, textOf(this.#whole, document), after);
      this.#unwritten.delete(document);
    }
  }

  /** One job after the other. @throws {MeasureError} `not-saved` when the disk refuses */
  async #inTurn(job: () => Promise<void>): Promise<Saved> {
    const turn = this.#writing.then(job);
    this.#writing = turn.catch(() => undefined);
    try {
      await turn;
    } catch (error) {
      throw notSaved(this.folder, error);
    }
    return { savedAt: this.#now().toISOString() };
  }
}
