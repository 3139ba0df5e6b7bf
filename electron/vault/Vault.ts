import { isAbsolute, relative, resolve, sep } from "node:path";
import { z } from "zod";
import { MeasureError } from "../../src/errors.ts";
import type { OpenedStudy, Position, Saved } from "../../src/study/exchange.ts";
import { type JournalStep, MARKS_PREFIX } from "../../src/study/journal.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { journalStep, withCheckedChanges } from "../../src/study/parseSteps.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import * as schema from "../../src/study/schema.ts";
import { markedIds } from "../../src/study/trialViews.ts";
import type { ClipLink, Study, WholeStudy } from "../../src/study/types.ts";
import { type Disk, type DiskOf, LINE_BYTES, realDisk } from "../disk/disk.ts";
import { addClip, type CopiedClip, freeId } from "./addClip.ts";
import { type Entered, enterStudy, textOf } from "./enterStudy.ts";
import { keepUnknown } from "./keepUnknown.ts";
import { askedFile, type LockOwner, ownerWords, readLock, thisOwner } from "./lock.ts";
import { notSaved } from "./notSaved.ts";
import { places } from "./places.ts";
import { parsePosition, writePosition } from "./position.ts";
import { letGo } from "./takeOver.ts";

export interface VaultOptions {
  /** Where writes go; another one in tests. */
  readonly disk?: DiskOf;
  /** Who opens it; absent = this process. */
  readonly me?: LockOwner;
}

const journalSteps = z.object({
  from: z.number().int().nonnegative(),
  steps: z.array(journalStep).max(5000),
});

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
  #entered: Entered;
  #whole: WholeStudy;
  #position: Position | null;
  #steps: readonly JournalStep[];
  readonly #unwritten: Set<string>;
  readonly #added = new Map<string, ClipLink>();
  /** Links a person has confirmed and the window has not saved yet. */
  readonly #confirmed = new Map<string, Pick<ClipLink, "path" | "bytes" | "sha256">>();
  #writing: Promise<unknown> = Promise.resolve();

  private constructor(folder: string, disk: Disk, entered: Entered, now: () => Date, options: VaultOptions) {
    this.folder = folder;
    this.disk = disk;
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
      const study = keepUnknown(schema.study, this.study, given);
      await this.#write("study", { ...this.#whole, study }, after);
      for (const { id, path, sha256 } of study.clips) {
        const confirmed = this.#confirmed.get(id);
        if (confirmed?.path === path && confirmed.sha256 === sha256) this.#confirmed.delete(id);
      }
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
      const marks = keepUnknown(schema.trialMarks, this.#whole.marks[trial], given);
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
    const given = journalSteps.safeParse(json);
    if (!given.success)
      throw new MeasureError(
        "bad-steps",
        given.error.message,
        "The window sent steps that can't be read; nothing was saved.",
      );
    const saved = await this.#inTurn(async () => {
      const writer = this.#mustBeWritable();
      const skip = writer.steps - given.data.from;
      if (skip < 0)
        throw new MeasureError(
          "steps-missing",
          `the journal has ${writer.steps} steps, the window goes on from ${given.data.from}`,
          "Steps between the window and the journal are missing.",
        );
      this.#mustBeTheSame(given.data.steps.slice(0, skip), given.data.from);
      const steps = given.data.steps.slice(skip);
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

  /** Copies a clip into the study. The window adds the link to the study; until then it is remembered here. */
  async addClip(name: string, body: AsyncIterable<Uint8Array>): Promise<ClipLink> {
    this.#mustBeWritable();
    const copied = await addClip(places(this.folder).clips, name, body, this.disk);
    // After the copy: another one may have been added meanwhile.
    const taken = new Set([...this.study.clips.map((c) => c.id), ...this.#added.keys()]);
    const link = { id: freeId(copied.sha256, taken), ...copied };
    this.#added.set(link.id, link);
    return link;
  }

  /** Another link's file in `clips/` that is said to hold the same; null = there is none. It may have been changed since. */
  twinOf({ id, sha256, path }: ClipLink): { readonly path: string; readonly file: string } | null {
    const all = [...this.study.clips, ...this.#added.values()];
    const twin = all.find(
      (c) => c.id !== id && c.sha256 === sha256 && c.path.startsWith("clips/") && c.path !== path,
    );
    return sha256 === undefined || !twin ? null : { path: twin.path, file: resolve(this.folder, twin.path) };
  }

  /**
   * Takes back a clip that was just added. `instead`: its link leads to that file, which holds the same. Where that file has
   * gone the same way meanwhile, or another link leads to this one, nothing is taken back.
   *
   * @returns the new link; null where there is none
   */
  async takeBack(link: ClipLink, instead: string | null): Promise<ClipLink | null> {
    const others = [...this.study.clips, ...this.#added.values()].filter((c) => c.id !== link.id);
    if (others.some((c) => c.path === link.path)) return null;
    if (instead !== null && !others.some((c) => c.path === instead)) return null;
    const kept = instead === null ? null : { ...link, path: instead };
    if (kept) this.#added.set(kept.id, kept);
    else this.#added.delete(link.id);
    await this.disk.remove(resolve(this.folder, link.path));
    return kept;
  }

  /** The clip's link, with its file's absolute path; null when the study has no such clip. */
  clip(id: string): { readonly link: ClipLink; readonly file: string } | null {
    const link = this.study.clips.find((c) => c.id === id) ?? this.#added.get(id);
    if (!link) return null;
    const used = { ...link, ...this.#confirmed.get(id) };
    return { link: used, file: resolve(this.folder, used.path) };
  }

  /**
   * Another file for a clip, confirmed by a person: used from now on, in the study once the window saves it.
   *
   * @throws {MeasureError} `read-only`
   */
  relink(id: string, file: string, bytes: number, sha256: string): ClipLink {
    this.#mustBeWritable();
    const { link } = this.clip(id) ?? {};
    if (!link) throw new Error(`relink got ${id}, which is no clip of this study`);
    const path = this.pathInStudy(file);
    this.#confirmed.set(id, { path, bytes, sha256 });
    return { ...link, path, bytes, sha256 };
  }

  /** As the study writes paths: relative to its folder, forward slashes. */
  pathInStudy(file: string): string {
    return relative(this.folder, file).split(sep).join("/");
  }

  /** Copies a file into `clips/` that a person offers for a clip; returns where it is and what it holds. */
  async copyIn(name: string, body: AsyncIterable<Uint8Array>): Promise<{ file: string; copied: CopiedClip }> {
    this.#mustBeWritable();
    const copied = await addClip(places(this.folder).clips, name, body, this.disk);
    return { file: resolve(this.folder, copied.path), copied };
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

  /** Steps that are there already are those that were sent before, not what another window did meanwhile. */
  #mustBeTheSame(steps: readonly JournalStep[], from: number): void {
    const made = this.#entered.writer?.steps ?? 0;
    for (const [i, { id }] of steps.entries()) {
      // The last one kept is step number `made`. Older journals have no names.
      const there = this.#steps.at(from + i - made);
      if (id === undefined || there?.id === undefined || there.id === id) continue;
      throw new MeasureError(
        "other-steps",
        `step ${from + i + 1} of the journal is ${there.id}, the window sent ${id}`,
        "Not saved: something else was done in this study since this window last saved. Reload the window; what is not saved is offered there.",
      );
    }
  }

  /** No document leads out of the folder: neither a clip's new link, nor a trial's id as the name of its marks. */
  #mustStayHere(study: Study): void {
    for (const link of study.clips) this.#mustBeOurs(link);
    for (const id of markedIds(study)) places(this.folder).marks(id);
  }

  /** A request may not invent a path: links lead into the folder, or where this study already led. */
  #mustBeOurs(link: ClipLink): void {
    const inside = relative(this.folder, resolve(this.folder, link.path));
    if (inside !== "" && !inside.startsWith("..") && !isAbsolute(inside)) return;
    if (this.study.clips.some((c) => c.path === link.path)) return;
    if (this.#confirmed.get(link.id)?.path === link.path) return;
    throw new MeasureError(
      "foreign-path",
      `saveStudy got a new link that leads out of the study: ${link.path}`,
      `The clip "${link.name}" lies outside the study folder. Add it through the window, so that it is copied in.`,
    );
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
