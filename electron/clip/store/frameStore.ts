import {
  type FileHandle,
  mkdir,
  open,
  readFile,
  rename,
  rm,
  truncate,
  utimes,
  writeFile,
} from "node:fs/promises";
import { join } from "node:path";
import type { Problem, Timebase } from "../ffmpeg/decodeLog.ts";
import type { PacketCounts } from "../jobs/packetPlan.ts";
import type { StoredFrame } from "./framePairing.ts";
import type { ClipFacts } from "./frameTimes.ts";
import { firstGap, inRow } from "./ranges.ts";

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

/**
 * Prepared frames of one clip content, each a JPEG of its own: one file of JPEGs laid end to end in the order in which
 * they were made, one list with a line `ordinal offset length pts key` a frame. Any frame is one read. Deletable at any
 * time; an unfinished one is gone on with.
 */
export class FrameStore {
  folder: string;
  /** Names content and rendering; equal keys are equal pictures. */
  key: string;
  state: StoreState = "partial";
  #clip: StoredClip | null = null;
  /** Packets and decode disagreed: frames are only counted from the clip's start. */
  inOrderOnly = false;
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

  private constructor(folder: string, key: string) {
    this.folder = folder;
    this.key = key;
  }

  /** Opens what is there for this content, or an empty store. Never throws for a damaged store: it begins anew. */
  static async open(storesFolder: string, sha256: string): Promise<FrameStore> {
    const key = storeKey(sha256);
    const store = new FrameStore(join(storesFolder, key), key);
    await store.#load();
    return store;
  }

  /** Moves to where the store of that content belongs; nothing is there yet. */
  async becomes(storesFolder: string, sha256: string): Promise<void> {
    const key = storeKey(sha256);
    const folder = join(storesFolder, key);
    // Some systems move no folder of which a file is open.
    await this.close();
    if (this.prepared > 0) await rename(this.folder, folder);
    this.folder = folder;
    this.key = key;
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

  get listPath(): string {
    return join(this.folder, "frames.list");
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
      const about = JSON.parse(await readFile(join(this.folder, "clip.json"), "utf8"));
      if (about.format !== FORMAT) return await this.clear();
      const list = await readFile(this.listPath, "utf8");
      const handle = await open(this.picturesPath, "r");
      const { size } = await handle.stat();
      this.#pictures = Promise.resolve(handle);
      const { frames, times } = wholeLines(list, size);
      this.add(frames);
      for (const [n, pts] of times) this.times[n] ??= pts;
      this.clip = about.clip;
      this.inOrderOnly = about.inOrderOnly === true;
      this.renumbered = about.renumbered === true;
      const whole = about.state === "complete" && this.readyFrom() === about.clip.count;
      this.state = whole ? "complete" : about.state === "stopped" ? "stopped" : "partial";
    } catch {
      await this.clear();
    }
  }

  /** Begins anew. */
  async clear(): Promise<void> {
    await this.close();
    this.frames.length = this.times.length = 0;
    this.#gap = this.prepared = this.bytes = 0;
    this.version += 1;
    this.clip = null;
    this.state = "partial";
    await rm(this.folder, { recursive: true, force: true });
  }

  /** Cuts both files back to the frames that are whole, so that a run can go on after them. */
  async trim(): Promise<void> {
    await mkdir(this.folder, { recursive: true });
    if (this.prepared === 0) {
      await this.close();
      await writeFile(this.picturesPath, "");
      await writeFile(this.listPath, "");
      return;
    }
    await truncate(this.picturesPath, this.bytes);
    const inFile = this.frames.filter(inRow).sort((a, b) => a.offset - b.offset || a.ordinal - b.ordinal);
    const timesOnly = this.times.flatMap((pts, n) => (this.has(n) ? [] : [timeLine(n, pts)]));
    await writeFile(this.listPath, [...timesOnly, ...inFile.map(listLine)].join(""));
  }

  async saveState(state: StoreState): Promise<void> {
    this.state = state;
    // Nothing was prepared yet: then there is nothing to remember either.
    if (!this.clip) return;
    const { clip, inOrderOnly, renumbered } = this;
    const about = { format: FORMAT, state, clip, inOrderOnly, renumbered };
    const temporary = join(this.folder, "clip.json.tmp");
    await writeFile(temporary, `${JSON.stringify(about)}\n`);
    await rename(temporary, join(this.folder, "clip.json"));
  }

  /** The JPEG of frame `n`; null when there is none in the store. */
  async picture(n: number): Promise<Uint8Array<ArrayBuffer> | null> {
    const frame = this.frames[n];
    if (!frame || frame.length === 0) return null;
    this.#pictures ??= open(this.picturesPath, "r").catch((error: unknown) => {
      this.#pictures = null;
      throw error;
    });
    const pictures = await this.#pictures;
    const jpeg = new Uint8Array(frame.length);
    const { bytesRead } = await pictures.read(jpeg, 0, frame.length, frame.offset);
    return bytesRead === frame.length ? jpeg : null;
  }

  /** Marks the store as used now; the least recently used goes first when space is short. */
  async touch(): Promise<void> {
    const now = new Date();
    await utimes(this.folder, now, now).catch(() => undefined);
  }

  async close(): Promise<void> {
    const handle = this.#pictures;
    this.#pictures = null;
    await (await handle)?.close();
  }
}

export function storeKey(sha256: string): string {
  return `${sha256.slice(0, 32)}-${STORE_VERSION}`;
}

export function listLine({ ordinal, offset, length, pts, key }: StoredFrame): string {
  return `${ordinal} ${offset} ${length} ${pts ?? "x"} ${key ? "k" : "-"}\n`;
}

/** Only the time is known of this frame. */
export function timeLine(ordinal: number, pts: number | null): string {
  return `${ordinal} ${pts ?? "x"}\n`;
}

/** Frames whose line and picture are whole; the first that is not ends the list, as a killed program leaves it. */
function wholeLines(list: string, size: number) {
  const frames: StoredFrame[] = [];
  const times = new Map<number, number | null>();
  const seen = new Set<number>();
  let end = 0;
  // A line without its newline was being written when the program ended.
  for (const line of list.slice(0, list.lastIndexOf("\n") + 1).split("\n")) {
    const match = /^(\d+)(?: (\d+) (\d+))? (-?\d+|x)(?: ([k-]))?$/.exec(line);
    if (!match) break;
    const ordinal = Number(match[1]);
    const pts = match[4] === "x" ? null : Number(match[4]);
    if (match[2] === undefined) {
      times.set(ordinal, pts);
      continue;
    }
    const [offset, length] = [Number(match[2]), Number(match[3])];
    if (offset !== end || offset + length > size || seen.has(ordinal)) break;
    seen.add(ordinal);
    frames.push({ ordinal, offset, length, pts, key: match[5] === "k" });
    end += length;
  }
  return { frames, times };
}
