import { type FileHandle, open } from "node:fs/promises";
import { readAvi } from "./aviHeader.ts";
import type { ReadAt, Turn } from "./headerParts.ts";
import { readMatroska } from "./matroskaHeader.ts";
import { readMov } from "./movHeader.ts";

/** The families of files we know by their first bytes; anything else is left to ffmpeg. */
export type Container = "mov" | "matroska" | "avi" | "mpegts" | "other";

/**
 * What a clip's file states of itself, read from its header by us and not from what a program prints about it: a file can
 * write into that.
 */
export interface Stated extends Turn {
  readonly container: Container;
  /** Seconds from the file's own zero to the end of its longest stream (often the sound's); null = it does not say. */
  readonly lasts: number | null;
}

/** A header that says more than this is not read on: no camera writes one. */
const MOST_READS = 4000;
/** A table of an hour at 240 frames a second is a tenth of it. */
const MOST_BYTES = 128e6;

export const NOTHING_STATED: Stated = { container: "other", lasts: null, rotation: 0, mirrored: false };

/** Never throws, neither for a damaged or made-up header nor for a file that cannot be read: then nothing is stated. */
export async function stated(file: string): Promise<Stated> {
  const found = await readingHeader(file, async (read, size) => {
    const container = containerOf(await read(0, 1024));
    return { ...NOTHING_STATED, container, ...(await headerOf(container, read, size)) };
  });
  return found ?? NOTHING_STATED;
}

/** Reads parts of a file, of so many bytes; null where it cannot be read. */
export async function readingHeader<T>(
  file: string,
  act: (read: ReadAt, size: number) => Promise<T>,
): Promise<T | null> {
  const handle = await open(file, "r").catch(() => null);
  if (!handle) return null;
  try {
    return await act(boundedReads(handle), (await handle.stat()).size);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === undefined) throw error;
    return null;
  } finally {
    await handle.close();
  }
}

async function headerOf(container: Container, read: ReadAt, size: number): Promise<Partial<Stated>> {
  try {
    if (container === "mov") return await readMov(read, size);
    if (container === "matroska") return { lasts: await readMatroska(read, size) };
    if (container === "avi") return { lasts: await readAvi(read) };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
  }
  return {};
}

function boundedReads(handle: FileHandle): ReadAt {
  let reads = 0;
  return async (at, length) => {
    if (++reads > MOST_READS) throw new RangeError("a header without end");
    if (length > MOST_BYTES) throw new RangeError(`a header of ${length} bytes`);
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(length), 0, length, at);
    return buffer.subarray(0, bytesRead);
  };
}

/** Boxes with which such a file may begin (ISO/IEC 14496-12; the older ones: Apple's QuickTime file format). */
const FIRST_BOXES = new Set(
  "ftyp styp moov moof mdat free skip wide junk pnot pict udta uuid prfl sidx ediw".split(" "),
);

/** By the first bytes, as ISO/IEC 14496-12, RFC 8794 (EBML), Microsoft's RIFF and ISO/IEC 13818-1 (packets of 188) say. */
export function containerOf(head: Buffer): Container {
  if (head.length >= 8 && FIRST_BOXES.has(head.toString("latin1", 4, 8))) return "mov";
  if (head.length >= 4 && head.readUInt32BE(0) === 0x1a45dfa3) return "matroska";
  if (head.toString("latin1", 0, 4) === "RIFF" && head.toString("latin1", 8, 11) === "AVI") return "avi";
  // 188 bytes a packet; 192 with a time in front of each (cameras' M2TS).
  for (const [first, step] of [
    [0, 188],
    [4, 192],
  ] as const)
    if ([0, 1, 2, 3, 4].every((k) => head[first + k * step] === 0x47)) return "mpegts";
  return "other";
}
