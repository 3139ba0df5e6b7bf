import { mkdir } from "node:fs/promises";
import { dirname, isAbsolute, relative, resolve, sep } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { OpenedStudy, Position, Saved } from "../../src/study/exchange.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import * as schema from "../../src/study/schema.ts";
import type { ClipLink, Study, TrialMarks } from "../../src/study/types.ts";
import { addClip } from "./addClip.ts";
import { writeAtomically } from "./atomicWrite.ts";
import { keepUnknown } from "./keepUnknown.ts";
import { places, type ReadStudy, readStudy } from "./openStudy.ts";
import { parsePosition, writePosition } from "./position.ts";

/** How documents are written: indented, so that they can be read and compared by people. */
export function documentText(document: Study | TrialMarks): string {
  return `${JSON.stringify(document, null, 1)}\n`;
}

/**
 * One open study folder. Documents are parsed before they are written; writes follow one another, each atomic, each
 * followed by its last good copy.
 */
export class Vault {
  readonly folder: string;
  #read: ReadStudy;
  readonly #now: () => Date;
  readonly #added = new Map<string, ClipLink>();
  /** Links a person has confirmed and the window has not saved yet. */
  readonly #confirmed = new Map<string, Pick<ClipLink, "path" | "bytes" | "sha256">>();
  #writing: Promise<unknown> = Promise.resolve();

  private constructor(folder: string, read: ReadStudy, now: () => Date) {
    this.folder = folder;
    this.#read = read;
    this.#now = now;
  }

  /** @throws {MeasureError} see readStudy */
  static async open(folder: string, now: () => Date = () => new Date()): Promise<Vault> {
    const whole = resolve(folder);
    return new Vault(whole, await readStudy(whole, now()), now);
  }

  get study(): Study {
    return this.#read.whole.study;
  }

  get cacheFolder(): string {
    return places(this.folder).cache;
  }

  /** The study as it stands, for a window that opens it now. */
  opened(): OpenedStudy {
    const { whole, readOnly, notices, position } = this.#read;
    return { ...whole, folder: this.folder, readOnly, notices, position };
  }

  /** @throws {MeasureError} `read-only`, `foreign-path`, or what parseStudy refuses */
  async saveStudy(json: unknown): Promise<Saved> {
    const study = keepUnknown(schema.study, this.study, parseStudy(json));
    for (const link of study.clips) this.#mustBeOurs(link);
    // An id that cannot name a file is found now, not when its marks are saved.
    for (const trial of study.trials) places(this.folder).marks(trial.id);
    return this.#write(async (at) => {
      await replace(at.study, at.lastGoodStudy, documentText(study));
      this.#read = { ...this.#read, whole: { ...this.#read.whole, study } };
      for (const { id, path, sha256 } of study.clips) {
        const confirmed = this.#confirmed.get(id);
        if (confirmed?.path === path && confirmed.sha256 === sha256) this.#confirmed.delete(id);
      }
    });
  }

  /** @throws {MeasureError} `read-only`, `wrong-trial`, `bad-id`, or what parseMarks refuses */
  async saveMarks(trial: string, json: unknown): Promise<Saved> {
    const file = places(this.folder).marks(trial);
    const before = this.#read.whole.marks[trial];
    const marks = keepUnknown(schema.trialMarks, before, parseMarks(json));
    if (marks.trial !== trial) {
      throw new MeasureError(
        "wrong-trial",
        `saveMarks got marks of trial ${marks.trial} for trial ${trial}`,
        `These marks belong to trial "${marks.trial}", not "${trial}". Nothing was saved.`,
      );
    }
    return this.#write(async (at) => {
      await replace(file, at.lastGoodMarks(trial), documentText(marks));
      const { whole } = this.#read;
      this.#read = { ...this.#read, whole: { ...whole, marks: { ...whole.marks, [trial]: marks } } };
    });
  }

  async savePosition(json: unknown): Promise<void> {
    const position: Position = parsePosition(json);
    this.#read = { ...this.#read, position };
    await this.#inTurn(() => writePosition(places(this.folder).position, position));
  }

  /** Copies a clip into the study. The window adds the link to the study; until then it is remembered here. */
  async addClip(name: string, body: AsyncIterable<Uint8Array>): Promise<ClipLink> {
    this.#mustBeWritable();
    const taken = new Set([...this.study.clips.map((c) => c.id), ...this.#added.keys()]);
    const link = await addClip(places(this.folder).clips, name, body, taken);
    this.#added.set(link.id, link);
    return link;
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
  async copyIn(name: string, body: AsyncIterable<Uint8Array>): Promise<{ file: string; link: ClipLink }> {
    this.#mustBeWritable();
    const link = await addClip(places(this.folder).clips, name, body, new Set());
    return { file: resolve(this.folder, link.path), link };
  }

  /** Resolves when everything handed in so far is on disk. */
  async settled(): Promise<void> {
    await this.#writing;
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

  #mustBeWritable(): void {
    if (!this.#read.readOnly) return;
    throw new MeasureError(
      "read-only",
      `${this.folder} is open for reading only`,
      "This study is open for reading only, so nothing was saved. The notice at the top says why.",
    );
  }

  async #write(job: (at: ReturnType<typeof places>) => Promise<void>): Promise<Saved> {
    this.#mustBeWritable();
    try {
      await this.#inTurn(() => job(places(this.folder)));
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (!code || error instanceof MeasureError) throw error;
      throw new MeasureError(
        "not-saved",
        `writing into ${this.folder} failed: ${(error as Error).message}`,
        code === "ENOSPC"
          ? "Not saved: the disk is full. Free some space; what you did is kept in the window and saved then."
          : `Not saved: the study folder cannot be written (${code}). What you did is kept in the window until it can be.`,
      );
    }
    return { savedAt: this.#now().toISOString() };
  }

  #inTurn<T>(job: () => Promise<T>): Promise<T> {
    const turn = this.#writing.then(job);
    this.#writing = turn.catch(() => undefined);
    return turn;
  }
}

/** The document first, then its last good copy: whichever moment the program is killed, one of them is whole. */
async function replace(file: string, lastGood: string, text: string): Promise<void> {
  await mkdir(dirname(file), { recursive: true });
  await writeAtomically(file, text);
  await mkdir(dirname(lastGood), { recursive: true });
  await writeAtomically(lastGood, text);
}
