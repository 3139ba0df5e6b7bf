import { createHash } from "node:crypto";
import { join } from "node:path";
import type { HandTurn } from "../../../src/study/types.ts";
import { type Disk, realDisk } from "../../disk/disk.ts";
import type { FileStamp } from "../ffmpeg/clipFailure.ts";
import { planRead } from "../jobs/prepareClip.ts";
import { diskLimit, makeRoom } from "./diskBound.ts";
import { FrameStore, storeKey } from "./frameStore.ts";
import { machineSeal, type Seal } from "./seal.ts";

const TOUCH_EVERY_MS = 60_000;

/** The frame stores of one study that are in use; one a content, also where two clips are the same file. */
export class OpenStores {
  readonly #folder: string;
  readonly #open = new Map<string, Promise<FrameStore>>();
  readonly #touched = new Map<FrameStore, number>();

  readonly #disk: Disk;
  readonly #seal: Seal;

  constructor(folder: string, disk: Disk = realDisk(folder), seal: Seal = machineSeal()) {
    this.#folder = folder;
    this.#disk = disk;
    this.#seal = seal;
  }

  /** The store of a content as it is turned by hand: turned otherwise its pictures are others. */
  of(sha256: string, turn: 0 | HandTurn = 0): Promise<FrameStore> {
    const content = turnedContent(sha256, turn);
    const open =
      this.#open.get(content) ?? FrameStore.open(this.#folder, content, this.#disk, this.#seal, turn);
    this.#open.set(content, open);
    open.catch(() => this.#open.delete(content));
    return open;
  }

  /** Whether that is the name of the store of a content. */
  isNamed(name: string, sha256: string, turn: 0 | HandTurn = 0): boolean {
    return storeKey(turnedContent(sha256, turn), this.#seal) === name;
  }

  /**
   * The store of a file as far as its content is known; of one whose content is not, the same as long as the file stays
   * as it is.
   */
  async ofFile(
    file: string,
    stamp: FileStamp,
    sha256: string | null,
    turn: 0 | HandTurn = 0,
  ): Promise<FrameStore> {
    const unread = unreadName(file, stamp);
    if (sha256 === null) return this.of(unread, turn);
    const store = await this.of(sha256, turn);
    if (store.prepared > 0) return store;
    // Prepared before it was read to its end.
    const before = await this.of(unread, turn);
    return before.prepared > 0 ? this.adopt(before, sha256) : store;
  }

  /** The content of an unread file is known now: its store is that content's, unless there is one already. */
  async adopt(unread: FrameStore, sha256: string): Promise<FrameStore> {
    const content = turnedContent(sha256, unread.turn);
    const there = await this.of(sha256, unread.turn);
    if (there === unread) return there;
    if (there.prepared > 0) {
      await unread.clear();
      return there;
    }
    await there.clear();
    await unread.becomes(this.#folder, content);
    for (const [name, store] of this.#open) if ((await store) === unread) this.#open.delete(name);
    this.#open.set(content, Promise.resolve(unread));
    return unread;
  }

  /** The store is looked at now. */
  async touch(store: FrameStore | null): Promise<void> {
    if (!store || Date.now() - (this.#touched.get(store) ?? 0) < TOUCH_EVERY_MS) return;
    this.#touched.set(store, Date.now());
    await store.touch();
  }

  /**
   * Takes away the stores used longest ago until the disk bound holds.
   *
   * @returns whether it holds now
   */
  async makeRoom(mustStay: (key: string) => boolean, onTaken: (store: FrameStore) => void): Promise<boolean> {
    const open = new Map<string, FrameStore>();
    for (const store of await Promise.all(this.#open.values())) open.set(store.key, store);
    return makeRoom(this.#folder, this.#disk, mustStay, async (key) => {
      const store = open.get(key);
      if (!store) return this.#disk.removeFolder(join(this.#folder, key));
      await store.clear();
      onTaken(store);
    });
  }

  /** Once nothing is prepared any more. */
  async close(): Promise<void> {
    for (const store of await Promise.all(this.#open.values())) {
      await planRead(store);
      await store.close();
    }
  }
}

/** Names the pictures of a content as they are turned. */
function turnedContent(content: string, turn: 0 | HandTurn): string {
  return turn === 0 ? content : createHash("sha256").update(`${content} turned by ${turn}`).digest("hex");
}

function unreadName(file: string, { bytes, mtimeMs }: FileStamp): string {
  return `unread-${createHash("sha256").update(`${bytes} ${mtimeMs} ${file}`).digest("hex")}`;
}

export const NOTE_TAKEN = () =>
  `Its prepared frames were removed to make room (${limitText()} are kept). They are made again when you open this clip.`;

export const NOTE_NO_ROOM = () =>
  `The space for prepared frames (${limitText()}) is used up by clips that are in use. Open this clip to prepare it in the place of the one used longest ago, or allow more with BLADEMARK_CACHE_GB.`;

function limitText(): string {
  return `${Number((diskLimit() / 1e9).toPrecision(3))} GB`;
}
