import { createHash } from "node:crypto";
import { dirname, join, resolve } from "node:path";
import { z } from "zod";
import { LINE_BYTES, realDisk } from "./disk/disk.ts";
import { writeAtomically } from "./vault/atomicWrite.ts";
import { places } from "./vault/places.ts";

/**
 * A study's own ports lie here: below those that systems hand out by themselves (32768 on Linux, 49152 elsewhere), and
 * above those that well-known services have.
 */
const FIRST = 22_000;
const COUNT = 5000;
/** How many a study has of its own, should others be taken. */
const ROW = 8;
/** Ports where windows of a study were, at most. */
const KNOWN = 6;

/** Ports of a study that was never open, best first: the same each time, others for another folder. */
export function ownPorts(folder: string): number[] {
  const ports = new Set<number>();
  for (let n = 0; ports.size < ROW; n++) {
    const hash = createHash("sha256")
      .update(`${n} ${resolve(folder)}`)
      .digest();
    ports.add(FIRST + (hash.readUInt32BE(0) % COUNT));
  }
  return [...ports];
}

const file = z.object({
  folder: z.string(),
  ports: z.array(z.number().int().min(1024).max(65535)).max(KNOWN),
});

/**
 * The ports at which windows of a study have been. A browser keeps what could not be saved under a window's address,
 * port included, and offers it to no other: so the study is opened at the same port again, the first of them, and
 * answers at the others too until a window there has left nothing behind.
 */
export class StudyPorts {
  readonly #folder: string;
  #known: readonly number[];
  #writing: Promise<void> = Promise.resolve();

  private constructor(folder: string, known: readonly number[]) {
    this.#folder = folder;
    this.#known = known;
  }

  /** Of a copy or of a folder that was moved nothing is known: what a browser keeps, it keeps for a folder. */
  static async read(study: string): Promise<StudyPorts> {
    const folder = resolve(study);
    try {
      const { ports, folder: of } = file.parse(
        JSON.parse(String(await realDisk(folder).read(portsFile(folder), LINE_BYTES))),
      );
      return new StudyPorts(folder, of === folder ? ports : []);
    } catch {
      return new StudyPorts(folder, []);
    }
  }

  /** The study's usual port first. */
  get known(): readonly number[] {
    return this.#known;
  }

  /** A window may be there from now on. */
  add(port: number): Promise<void> {
    if (this.#known.includes(port)) return this.#writing;
    const [usual, ...others] = [...this.#known, port];
    return this.#keep([usual as number, ...others.slice(1 - KNOWN)]);
  }

  /** No window is there any more, and none has left anything. The usual port stays. */
  forget(port: number): Promise<void> {
    return this.#keep(this.#known.filter((p, i) => i === 0 || p !== port));
  }

  #keep(known: readonly number[]): Promise<void> {
    this.#known = known;
    const text = `${JSON.stringify({ folder: this.#folder, ports: known })}\n`;
    this.#writing = this.#writing.then(() => write(this.#folder, text));
    return this.#writing;
  }
}

const portsFile = (folder: string) => join(places(folder).cache, "ports.json");

async function write(folder: string, text: string): Promise<void> {
  const [disk, path] = [realDisk(folder), portsFile(folder)];
  try {
    await disk.makeFolder(dirname(path));
    await writeAtomically(path, text, disk);
  } catch {
    // Where the study can't be written, nothing is left unsaved either.
  }
}
