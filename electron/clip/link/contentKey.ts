import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { dirname } from "node:path";
import { type Disk, realDisk } from "../../disk/disk.ts";
import type { FileStamp } from "../ffmpeg/clipFailure.ts";
import { machineSeal, type Seal } from "../store/seal.ts";

const MOST_BYTES = 64e6;

type Known = Record<string, FileStamp & { readonly sha256: string; readonly meant: string }>;

/**
 * SHA-256 of clip files, read once: a file whose size and change time are as before is not read again.
 * Remembered in one JSON file of the cache, which may be deleted at any time.
 */
export class ContentKeys {
  readonly #file: string;
  #known: Promise<Known> | null = null;
  #saving: Promise<void> = Promise.resolve();
  readonly #disk: Disk;
  readonly #seal: Seal;

  constructor(file: string, disk: Disk = realDisk(dirname(file)), seal: Seal = machineSeal()) {
    this.#file = file;
    this.#disk = disk;
    this.#seal = seal;
  }

  async #load(): Promise<Known> {
    this.#known ??= this.#read().catch(() => ({}));
    return this.#known;
  }

  /** What came with a study from elsewhere names no content for sure. */
  async #read(): Promise<Known> {
    const { sealed, seal } = JSON.parse(String(await this.#disk.read(this.#file, MOST_BYTES)));
    return seal === this.#seal.of(sealed) ? JSON.parse(sealed) : {};
  }

  /** The hash if it is known without reading the file. */
  async known(file: string, stamp: FileStamp): Promise<string | null> {
    const entry = (await this.#load())[file];
    return entry?.bytes === stamp.bytes && entry.mtimeMs === stamp.mtimeMs ? entry.sha256 : null;
  }

  /** The hash the file had when it was first read, for links that do not say which content they mean. */
  async meant(file: string): Promise<string | null> {
    return (await this.#load())[file]?.meant ?? null;
  }

  /** The file was still being written when it was read: that was no content of a clip. */
  async forget(file: string): Promise<void> {
    const known = await this.#load();
    delete known[file];
    await this.#save(known);
  }

  /** A person confirmed what the file holds now. */
  async confirm(file: string, sha256: string): Promise<void> {
    const known = await this.#load();
    const entry = known[file];
    if (entry) known[file] = { ...entry, meant: sha256 };
    await this.#save(known);
  }

  async of(file: string, stamp: FileStamp, signal?: AbortSignal): Promise<string> {
    const before = await this.known(file, stamp);
    if (before) return before;
    const hash = createHash("sha256");
    for await (const chunk of createReadStream(file, { signal, highWaterMark: 1 << 20 })) hash.update(chunk);
    const sha256 = hash.digest("hex");
    await this.remember(file, stamp, sha256);
    return sha256;
  }

  async remember(file: string, stamp: FileStamp, sha256: string): Promise<void> {
    const known = await this.#load();
    const meant = known[file]?.meant ?? sha256;
    known[file] = { bytes: stamp.bytes, mtimeMs: stamp.mtimeMs, sha256, meant };
    await this.#save(known);
  }

  /** One save after another. Losing one costs that a file is read again. */
  #save(known: Known): Promise<void> {
    this.#saving = this.#saving.then(() => this.#write(known)).catch(() => undefined);
    return this.#saving;
  }

  async #write(known: Known): Promise<void> {
    const sealed = JSON.stringify(known);
    await this.#disk.makeFolder(dirname(this.#file));
    await this.#disk.replace(this.#file, JSON.stringify({ sealed, seal: this.#seal.of(sealed) }));
  }
}
