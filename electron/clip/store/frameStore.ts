import type { FileHandle } from "node:fs/promises";
import { join } from "node:path";
import type { HandTurn } from "../../../src/study/types.ts";
import { type Disk, realDisk } from "../../disk/disk.ts";
import type { Problem, Timebase } from "../ffmpeg/decodeLog.ts";
import type { PacketCounts } from "../jobs/packetPlan.ts";
import { frameText, type StoredFrame, timeText, wholeLines } from "./frameList.ts";
import type { ClipFacts } from "./frameTimes.ts";
import { jpegHash } from "./jpegHashes.ts";
import { firstGap, inRow } from "./ranges.ts";
import { machineSeal, type Seal } from "./seal.ts";

/** What is known of a clip besides its frames. */
export interface StoredClip {
  readonly facts: ClipFacts;
  readonly timebase: Timebase;
  /** Displayed picture, px. */
  readonly width: number;
  readonly height: number;
  readonly problems: readonly Problem[];
  /** Not all frames of the file belong to the store: from here on the picture has another size. */
  readonly endsAtSizeChange: boolean;
  /** Frames in all; null until a decode has reached the end. */
  readonly count: number | null;
  /** What the packets alone say; null until they have been read. */
  readonly packets: PacketCounts | null;
}

export type StoreState = "partial" | "stopped" | "complete";

/** Part of the folder's name: raise it when the same content would give other JPEGs or times. */
const STORE_VERSION = 3;
const FORMAT = "blademark.frame-store";

/** Frames by the ten thousand, each a line; what is known of a clip, with a problem for each of them. */
const LIST_BYTES = 64e6;
const ABOUT_BYTES = 64e6;

/**
 * Prepared frames of one clip content, each a JPEG of its own: one file of JPEGs laid end to end in the order in which
 * they were made, one list with a line `ordinal offset length pts key hash seal` a frame. Any frame is one read.
 * Deletable at any time; an unfinished one is gone on with. What was not written here (`seal.ts`), is no whole picture
 * any more or came out of another ffmpeg is not believed: it is made anew.
 */
export class FrameStore {
  folder: string;
  /** Names content and rendering. */
  key: string;
  state: StoreState = "partial";
  #clip: StoredClip | null = null;
  /** Packets and decode disagreed: frames are only counted from the clip's start. */
  inOrderOnly = false;
  /** Which ffmpeg made it; null while nothing is in it. */
  decoder: string | null = null;
  /** A picture is not what was stored: the store is to be cleared. */
  rotten = false;
  /** Frames had been shown under numbers that a decode from the start did not confirm. */
  renumbered = false;
  /** By frame number; frames that are not prepared are missing. */
  readonly frames: (StoredFrame | undefined)[] = [];
  /** Integer times of frames 0 …, also of those not prepared; null = the file gives none. Without gaps. */
  readonly times: (number | null)[] = [];
  /** How many are prepared, and the bytes of their JPEGs. */
  prepared = 0;
  bytes = 0;
  /** Raised whenever something in here changes. */
  version = 0;
  #gap = 0;
  /** A promise, so that two frames asked for at once share one handle. */
  #pictures: Promise<FileHandle> | null = null;
  /** Settles when the store has the name it is to have: until then nothing is opened in it. */
  #moved: Promise<void> = Promise.resolve();

  readonly disk: Disk;
  readonly #seal: Seal;

  /** How its pictures are turned by hand, degrees clockwise. */
  readonly turn: 0 | HandTurn;

  private constructor(storesFolder: string, key: string, disk: Disk, seal: Seal, turn: 0 | HandTurn) {
    this.turn = turn;
    this.folder = join(storesFolder, key);
    this.key = key;
    this.disk = disk;
    this.#seal = seal;
  }

  /**
   * Opens what is there for this content, or an empty store. Never throws for a damaged store: it begins anew.
   *
   * @throws {MeasureError} `not-plain` when the folder of stores is a link
   */
  static async open(
    storesFolder: string,
    sha256: string,
    disk: Disk = realDisk(storesFolder),
    seal: Seal = machineSeal(),
    turn: 0 | HandTurn = 0,
  ): Promise<FrameStore> {
    const store = new FrameStore(storesFolder, storeKey(sha256, seal), disk, seal, turn);
    await store.#load();
    return store;
  }

  /** Moves to where the store of that content belongs; nothing is there yet. */
  becomes(storesFolder: string, sha256: string): Promise<void> {
    const moved = this.#move(storesFolder, sha256);
    this.#moved = moved.catch(() => undefined);
    return moved;
  }

  async #move(storesFolder: string, sha256: string): Promise<void> {
    const key = storeKey(sha256, this.#seal);
    const folder = join(storesFolder, key);
    // Some systems move no folder of which a file is open.
    await this.close();
    if (this.prepared > 0) await this.disk.rename(this.folder, folder);
    this.folder = folder;
    this.key = key;
    if (this.prepared === 0) return;
    // Its seals name the content.
    await this.trim();
    await this.saveState(this.state);
  }

  get clip(): StoredClip | null {
    return this.#clip;
  }

  set clip(clip: StoredClip | null) {
    this.#clip = clip;
    this.version += 1;
  }

  get picturesPath(): string {
    return join(this.folder, "frames.jpegs");
  }

  get #aboutPath(): string {
    return join(this.folder, "clip.json");
  }

  get listPath(): string {
    return join(this.folder, "frames.list");
  }

  /** Equal tags are equal pictures, also where this store is made anew by another ffmpeg. */
  get tag(): string {
    return `${this.key}-${jpegHash(Buffer.from(this.decoder ?? "")).slice(0, 8)}`;
  }

  has(n: number): boolean {
    return this.frames[n] !== undefined;
  }

  /** The first frame at or after `from` that is not prepared. */
  readyFrom(from = 0): number {
    this.#gap = firstGap(this.frames, this.#gap);
    return from <= this.#gap ? this.#gap : firstGap(this.frames, from);
  }

  add(frames: readonly StoredFrame[]): void {
    for (const frame of frames) {
      this.frames[frame.ordinal] = frame;
      this.times[frame.ordinal] = frame.pts;
      this.bytes += frame.length;
    }
    this.prepared += frames.length;
    this.version += 1;
  }

  async #load(): Promise<void> {
    try {
      const { sealed, seal } = JSON.parse(String(await this.disk.read(this.#aboutPath, ABOUT_BYTES)));
      if (seal !== this.#seal.of(`${this.key} ${sealed}`)) return await this.clear();
      const about = JSON.parse(sealed);
      const list = String(await this.disk.read(this.listPath, LIST_BYTES));
      const handle = await this.disk.open(this.picturesPath, "read");
      this.#pictures = Promise.resolve(handle);
      const { size, nlink } = await handle.stat();
      // It is written in place.
      if (nlink > 1) return await this.clear();
      const { frames, times } = wholeLines(list, size, (text) => this.#line(text));
      this.add(frames);
      for (const [n, pts] of times) this.times[n] ??= pts;
      this.clip = about.clip;
      this.inOrderOnly = about.inOrderOnly === true;
      this.renumbered = about.renumbered === true;
      this.decoder = about.decoder;
      const whole = about.state === "complete" && this.readyFrom() === about.clip.count;
      this.state = whole ? "complete" : about.state === "stopped" ? "stopped" : "partial";
    } catch {
      await this.clear();
    }
  }

  listLine(frame: StoredFrame): string {
    return this.#line(frameText(frame));
  }

  /** Only the time is known of this frame. */
  timeLine(ordinal: number, pts: number | null): string {
    return this.#line(timeText(ordinal, pts));
  }

  #line(text: string): string {
    return `${text} ${this.#seal.of(`${this.key} ${text}`)}\n`;
  }

  /** Begins anew. */
  async clear(): Promise<void> {
    await this.close();
    this.frames.length = this.times.length = 0;
    this.#gap = this.prepared = this.bytes = 0;
    this.version += 1;
    this.clip = null;
    this.state = "partial";
    this.decoder = null;
    this.rotten = false;
    await this.disk.removeFolder(this.folder);
  }

  /** Cuts both files back to the frames that are whole, so that a run can go on after them. */
  async trim(): Promise<void> {
    await this.disk.makeFolder(this.folder);
    if (this.prepared === 0) {
      await this.close();
      await this.disk.replace(this.picturesPath, "");
      await this.disk.replace(this.listPath, "");
      return;
    }
    const pictures = await this.disk.open(this.picturesPath, "change");
    try {
      await pictures.truncate(this.bytes);
    } finally {
      await pictures.close();
    }
    const inFile = this.frames.filter(inRow).sort((a, b) => a.offset - b.offset || a.ordinal - b.ordinal);
    const timesOnly = this.times.flatMap((pts, n) => (this.has(n) ? [] : [this.timeLine(n, pts)]));
    await this.disk.replace(this.listPath, [...timesOnly, ...inFile.map((f) => this.listLine(f))].join(""));
  }

  async saveState(state: StoreState): Promise<void> {
    this.state = state;
    // Nothing was prepared yet: then there is nothing to remember either.
    if (!this.clip) return;
    const { clip, inOrderOnly, renumbered, decoder } = this;
    const sealed = JSON.stringify({ state, clip, inOrderOnly, renumbered, decoder });
    const seal = this.#seal.of(`${this.key} ${sealed}`);
    await this.disk.replace(this.#aboutPath, `${JSON.stringify({ format: FORMAT, sealed, seal })}\n`);
  }

  /** The JPEG of frame `n`; null when there is none in the store, or it is not what was stored: the store is rotten. */
  async picture(n: number): Promise<Uint8Array<ArrayBuffer> | null> {
    await this.#moved;
    const frame = this.frames[n];
    if (!frame || frame.length === 0) return null;
    const jpeg = new Uint8Array(frame.length);
    const read = async () => {
      await this.#moved;
      this.#pictures ??= this.disk.open(this.picturesPath, "read").catch((error: unknown) => {
        this.#pictures = null;
        throw error;
      });
      return await (await this.#pictures).read(jpeg, 0, frame.length, frame.offset);
    };
    // A store that is moved or cleared is closed under whoever reads in it.
    const { bytesRead } = await read().catch(() => (this.frames[n] === frame ? read() : { bytesRead: 0 }));
    if (bytesRead === frame.length && jpegHash(jpeg) === frame.hash) return jpeg;
    // Cleared in the meantime it is no picture of this store any more.
    if (this.frames[n] === frame) this.rotten = true;
    return null;
  }

  /** Marks the store as used now; the least recently used goes first when space is short. */
  async touch(): Promise<void> {
    await this.disk.touch(this.folder).catch(() => undefined);
  }

  async close(): Promise<void> {
    const handle = this.#pictures;
    this.#pictures = null;
    await (await handle)?.close();
  }
}

export function storeKey(sha256: string, seal: Seal): string {
  return `${sha256.slice(0, 32)}-${STORE_VERSION}-${seal.id}`;
}
