import { createHash, randomBytes } from "node:crypto";
import { join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { ClipLink } from "../../src/study/types.ts";
import { whileReading } from "../clip/jobs/whileReading.ts";
import type { Disk } from "../disk/disk.ts";
import { nameFile } from "./nameFile.ts";
import { safeClipName } from "./safeName.ts";

/** Flushed on the way, so that little is left to wait for at the end; the flush at the end is the one that counts. */
const FLUSH_EVERY_BYTES = 16e6;

/** A clip in the study's folder; its link has an id too. */
export type CopiedClip = Required<Pick<ClipLink, "name" | "path" | "bytes" | "sha256">>;

/**
 * Copies a clip into the study's `clips/` as it comes, hashing it on the way. It gets its name when it is whole; an
 * interrupted copy leaves nothing behind.
 *
 * @throws {MeasureError} `clip-empty`, `disk-full`, `not-plain`
 */
export async function addClip(
  clipsFolder: string,
  name: string,
  body: AsyncIterable<Uint8Array>,
  disk: Disk,
): Promise<CopiedClip> {
  await disk.makeFolder(clipsFolder);
  const temporary = join(clipsFolder, `.incoming.${randomBytes(6).toString("hex")}.tmp`);
  const hash = createHash("sha256");
  const file = await disk.open(temporary, "new");
  let bytes = 0;
  let flushing: Promise<void> = Promise.resolve();
  try {
    let unflushed = 0;
    await whileReading(body, async (part) => {
      hash.update(part);
      bytes += part.length;
      unflushed += part.length;
      await file.appendFile(part);
      if (unflushed < FLUSH_EVERY_BYTES) return;
      unflushed = 0;
      flushing = flushing.then(() => file.datasync()).catch(() => undefined);
    });
    await flushing;
    if (bytes === 0) {
      throw new MeasureError(
        "clip-empty",
        `addClip got no bytes for ${name}`,
        `"${name}" is empty (0 bytes). Copy it from the camera again.`,
      );
    }
    await file.sync();
    await file.close();
    const given = await inTurn(() => nameFile(temporary, clipsFolder, safeClipName(name), undefined, disk));
    await disk.flushFolder(clipsFolder);
    return { name, path: `clips/${given}`, bytes, sha256: hash.digest("hex") };
  } catch (error) {
    await flushing;
    await file.close().catch(() => undefined);
    await disk.remove(temporary);
    if ((error as NodeJS.ErrnoException).code !== "ENOSPC") throw error;
    throw new MeasureError(
      "disk-full",
      `no space left in ${clipsFolder}`,
      `The disk with the study is full; "${name}" was not added. Free some space and add it again.`,
    );
  }
}

/** Names are looked for and given one at a time: two that differ in case only are one on some disks. */
let naming: Promise<unknown> = Promise.resolve();

function inTurn(job: () => Promise<string>): Promise<string> {
  const turn = naming.then(job);
  naming = turn.catch(() => undefined);
  return turn;
}

/** An id that says which content it is; the same file added twice gets two. */
export function freeId(sha256: string, taken: ReadonlySet<string>): string {
  const base = `clip-${sha256.slice(0, 8)}`;
  let id = base;
  for (let n = 2; taken.has(id); n++) id = `${base}-${n}`;
  return id;
}
