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
import type { ClipFacts, Problem, Timebase } from "./decodeLog.ts";
import type { StoredFrame } from "./framePairing.ts";

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
}

export type StoreState = "partial" | "stopped" | "complete";

/** Part of the folder's name: raise it when the same content would give other JPEGs or times. */
const STORE_VERSION = 1;
const FORMAT = "blademark.frame-store";

/**
 * All frames of one clip content, each a JPEG of its own: one file of JPEGs laid end to end, one list with a line
 * `offset length pts` a frame. Any frame is one read. Deletable at any time; an unfinished one is gone on with.
 */
export class FrameStore {
  readonly folder: string;
  /** Names content and rendering; equal keys are equal pictures. */
  readonly key: string;
  state: StoreState = "partial";
  clip: StoredClip | null = null;
  readonly frames: StoredFrame[] = [];
  /** A promise, so that two frames asked for at once share one handle. */
  #pictures: Promise<FileHandle> | null = null;

  private constructor(folder: string, key: string) {
    this.folder = folder;
    this.key = key;
  }

  /** Opens what is there for this content, or an empty store. Never throws for a damaged store: it begins anew. */
  static async open(storesFolder: string, sha256: string): Promise<FrameStore> {
    const key = `${sha256.slice(0, 32)}-${STORE_VERSION}`;
    const store = new FrameStore(join(storesFolder, key), key);
    await mkdir(store.folder, { recursive: true });
    await store.#load();
    return store;
  }

  get picturesPath(): string {
    return join(this.folder, "frames.jpegs");
  }

  get listPath(): string {
    return join(this.folder, "frames.list");
  }

  get bytes(): number {
    const last = this.frames.at(-1);
    return last ? last.offset + last.length : 0;
  }

  async #load(): Promise<void> {
    try {
      const about = JSON.parse(await readFile(join(this.folder, "clip.json"), "utf8"));
      if (about.format !== FORMAT) return;
      const list = await readFile(this.listPath, "utf8");
      const handle = await open(this.picturesPath, "r");
      const { size } = await handle.stat();
      this.#pictures = Promise.resolve(handle);
      let offset = 0;
      // A line without its newline was being written when the program ended.
      for (const line of list.slice(0, list.lastIndexOf("\n") + 1).split("\n")) {
        const match = /^(\d+) (\d+) (-?\d+|x)$/.exec(line);
        if (!match) break;
        const frame = {
          offset: Number(match[1]),
          length: Number(match[2]),
          pts: match[3] === "x" ? null : Number(match[3]),
        };
        if (frame.offset !== offset || frame.offset + frame.length > size) break;
        this.frames.push(frame);
        offset += frame.length;
      }
      this.clip = about.clip;
      const whole = about.state === "complete" && this.frames.length === about.count;
      this.state = whole ? "complete" : about.state === "stopped" ? "stopped" : "partial";
    } catch {
      await this.clear();
    }
  }

  /** Begins anew. */
  async clear(): Promise<void> {
    await this.close();
    this.frames.length = 0;
    this.clip = null;
    this.state = "partial";
    await rm(join(this.folder, "clip.json"), { force: true });
    await rm(this.listPath, { force: true });
    await rm(this.picturesPath, { force: true });
  }

  /** Cuts both files back to the frames that are whole, so that a run can go on after them. */
  async trim(): Promise<void> {
    if (this.frames.length === 0) {
      await writeFile(this.picturesPath, "");
      await writeFile(this.listPath, "");
      return;
    }
    await truncate(this.picturesPath, this.bytes);
    await writeFile(this.listPath, this.frames.map(listLine).join(""));
  }

  async saveState(state: StoreState): Promise<void> {
    this.state = state;
    const about = { format: FORMAT, state, count: this.frames.length, clip: this.clip };
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

export function listLine({ offset, length, pts }: StoredFrame): string {
  return `${offset} ${length} ${pts ?? "x"}\n`;
}
