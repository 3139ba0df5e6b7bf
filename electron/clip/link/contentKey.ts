import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { dirname } from "node:path";
import type { FileStamp } from "../ffmpeg/clipFailure.ts";

type Known = Record<string, FileStamp & { readonly sha256: string; readonly meant: string }>;

/**
 * SHA-256 of clip files, read once: a file whose size and change time are as before is not read again.
 * Remembered in one JSON file of the cache, which may be deleted at any time.
 */
export class ContentKeys {
  readonly #file: string;
  #known: Promise<Known> | null = null;
  #saving: Promise<void> = Promise.resolve();

  constructor(file: string) {
    this.#file = file;
  }

  async #load(): Promise<Known> {
    this.#known ??= readFile(this.#file, "utf8")
      .then((text) => JSON.parse(text) as Known)
      .catch(() => ({}));
    return this.#known;
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

  /** One save after another: two at once would share their temporary file. */
  #save(known: Known): Promise<void> {
    this.#saving = this.#saving.then(() => this.#write(known));
    return this.#saving;
  }

  async #write(known: Known): Promise<void> {
    await mkdir(dirname(this.#file), { recursive: true });
    await writeFile(`${this.#file}.tmp`, JSON.stringify(known));
    await rename(`${this.#file}.tmp`, this.#file);
  }
}
