import type { Timebase } from "./decodeLog.ts";
import type { ReadAt } from "./headerParts.ts";
import { type Box, boxes, isPictures } from "./movHeader.ts";

/** One packet as the file's own table has it. */
export interface TablePacket {
  readonly pts: number;
  readonly key: boolean;
  readonly size: number;
  /** Where its bytes begin in the file. */
  readonly at: number;
}

export interface MovTable {
  readonly packets: readonly TablePacket[];
  readonly timebase: Timebase;
}

/** More in one table no film has: a day at 240 frames a second. */
const MOST_PACKETS = 24 * 3600 * 240;

/**
 * The packets of an MP4's or MOV's pictures from its table (ISO/IEC 14496-12, 8.6 and 8.7), in the order of the file, without
 * reading the film itself. Only of the plain kind every camera writes: one track of pictures, all in one piece, played from one
 * moment on to its end.
 *
 * @returns null for any other kind: then only reading the film tells
 * @throws {RangeError} when a box says nonsense
 */
export async function movTable(read: ReadAt, size: number): Promise<MovTable | null> {
  let moov: Box | null = null;
  for await (const box of boxes(read, 0, size)) {
    if (box.type === "moof" || (box.type === "moov" && moov)) return null;
    if (box.type === "moov") moov = box;
  }
  if (!moov) return null;
  let movieScale = 0;
  const tracks: Box[] = [];
  for await (const part of boxes(read, moov.from, moov.to)) {
    if (part.type === "mvex") return null;
    if (part.type === "mvhd") movieScale = await timescale(read, part);
    if (part.type === "trak" && (await isPictures(read, part))) tracks.push(part);
  }
  const [track] = tracks;
  if (!track || tracks.length > 1 || movieScale === 0) return null;
  return trackTable(read, track, { size, movieScale });
}

interface Around {
  /** Of the file. */
  readonly size: number;
  readonly movieScale: number;
}

async function trackTable(read: ReadAt, trak: Box, { size, movieScale }: Around): Promise<MovTable | null> {
  const media = await inside(read, trak, "mdia");
  const mdhd = media && (await inside(read, media, "mdhd"));
  const minf = media && (await inside(read, media, "minf"));
  const stbl = minf && (await inside(read, minf, "stbl"));
  if (!mdhd || !stbl) return null;
  const scale = await timescale(read, mdhd);
  const tables = new Map<string, Box>();
  for await (const box of boxes(read, stbl.from, stbl.to)) tables.set(box.type, box);
  // Other kinds of key pictures than those of the list, or sizes written in another way.
  if (scale === 0 || ["sbgp", "stps", "stz2"].some((t) => tables.has(t))) return null;
  const of = async (type: string) => {
    const box = tables.get(type);
    return box ? read(box.from, box.to - box.from) : null;
  };
  const [stsd, stts, stsz, stsc, stss, ctts] = await Promise.all(
    ["stsd", "stts", "stsz", "stsc", "stss", "ctts"].map(of),
  );
  const stco = await of("stco");
  const co64 = stco ? null : await of("co64");
  if (stsd?.readUInt32BE(4) !== 1 || !stts || !stsz || !stsc || !(stco ?? co64)) return null;
  const sizes = readSizes(stsz);
  const times = readTimes(stts, sizes.length);
  const shifts = ctts ? readShifts(ctts, sizes.length) : null;
  const chunks = stco ? readNumbers(stco, 4) : readNumbers(co64 as Buffer, 8);
  const places = readPlaces(stsc, chunks, sizes);
  const keys = stss ? new Set(readNumbers(stss, 4)) : null;
  const edit = await editOf(read, trak);
  if (!times || (ctts && !shifts) || !places || !edit) return null;
  const packets = sizes.map((bytes, i) => ({
    pts: times.at[i]! + (shifts?.[i] ?? 0) - edit.from,
    key: keys === null || keys.has(i + 1),
    size: bytes,
    at: places[i]!,
  }));
  const lasts = edit.lasts === 0 ? Number.POSITIVE_INFINITY : (edit.lasts / movieScale) * scale;
  // Half a tick of the movie's clock: the edit's length is rounded to it.
  const rounding = scale / movieScale / 2;
  const plain = packets.every((p) => p.pts >= 0 && p.pts < lasts + rounding && p.at + p.size <= size);
  return plain ? { packets, timebase: { num: 1, den: scale } } : null;
}

async function inside(read: ReadAt, box: Box, type: string): Promise<Box | null> {
  for await (const part of boxes(read, box.from, box.to)) if (part.type === type) return part;
  return null;
}

/** Of `mvhd` and `mdhd` alike: version 1 has times of 64 bits (8.2.2, 8.4.2). */
async function timescale(read: ReadAt, box: Box): Promise<number> {
  const head = await read(box.from, 24);
  return head.readUInt32BE(head[0] === 1 ? 20 : 12);
}

/**
 * From which moment of the media the film is played (the media's clock) and how long (the movie's; 0 = to its end): 8.6.6.
 * null where it is put together of several pieces, begins later, or is played at another speed.
 */
async function editOf(read: ReadAt, trak: Box): Promise<{ from: number; lasts: number } | null> {
  const edts = await inside(read, trak, "edts");
  const elst = edts && (await inside(read, edts, "elst"));
  if (!elst) return { from: 0, lasts: 0 };
  const list = await read(elst.from, 28);
  const count = list.readUInt32BE(4);
  if (count === 0) return { from: 0, lasts: 0 };
  if (count > 1) return null;
  const long = list[0] === 1;
  const lasts = long ? Number(list.readBigUInt64BE(8)) : list.readUInt32BE(8);
  const from = long ? Number(list.readBigInt64BE(16)) : list.readInt32BE(12);
  const rate = list.readInt32BE(long ? 24 : 16);
  return from >= 0 && rate === 0x10000 ? { from, lasts } : null;
}

/** A list of numbers after its version and its count (stss, stco, co64). */
function readNumbers(table: Buffer, bytes: 4 | 8): number[] {
  const count = bounded(table.readUInt32BE(4));
  return Array.from({ length: count }, (_, i) =>
    bytes === 4 ? table.readUInt32BE(8 + 4 * i) : Number(table.readBigUInt64BE(8 + 8 * i)),
  );
}

function readSizes(stsz: Buffer): number[] {
  const [all, count] = [stsz.readUInt32BE(4), bounded(stsz.readUInt32BE(8))];
  return Array.from({ length: count }, (_, i) => (all > 0 ? all : stsz.readUInt32BE(12 + 4 * i)));
}

/** Decoding times, from 0 on: runs of (count, duration). */
function readTimes(stts: Buffer, packets: number): { at: number[] } | null {
  const runs = bounded(stts.readUInt32BE(4));
  const at: number[] = [];
  let now = 0;
  for (let run = 0; run < runs; run++) {
    const [count, lasts] = [stts.readUInt32BE(8 + 8 * run), stts.readUInt32BE(12 + 8 * run)];
    for (let i = 0; i < count && at.length < packets; i++, now += lasts) at.push(now);
  }
  return at.length === packets ? { at } : null;
}

/** How much later than it is decoded each is shown: runs of (count, offset). Taken as signed, as old files write it too. */
function readShifts(ctts: Buffer, packets: number): number[] | null {
  const runs = bounded(ctts.readUInt32BE(4));
  const shifts: number[] = [];
  for (let run = 0; run < runs; run++) {
    const [count, shift] = [ctts.readUInt32BE(8 + 8 * run), ctts.readInt32BE(12 + 8 * run)];
    for (let i = 0; i < count && shifts.length < packets; i++) shifts.push(shift);
  }
  return shifts.length === packets ? shifts : null;
}

/** Where each packet lies: chunks hold so many of them end to end, in runs of (first chunk, packets a chunk, description). */
function readPlaces(stsc: Buffer, chunks: readonly number[], sizes: readonly number[]): number[] | null {
  const runs = bounded(stsc.readUInt32BE(4));
  const places: number[] = [];
  for (let run = 0; run < runs; run++) {
    const from = stsc.readUInt32BE(8 + 12 * run);
    const to = run + 1 < runs ? stsc.readUInt32BE(20 + 12 * run) : chunks.length + 1;
    const each = stsc.readUInt32BE(12 + 12 * run);
    for (let chunk = from; chunk < to && places.length < sizes.length; chunk++) {
      let at = chunks[chunk - 1];
      if (at === undefined) return null;
      for (let i = 0; i < each && places.length < sizes.length; i++) {
        const size: number = sizes[places.length]!;
        places.push(at);
        at += size;
      }
    }
  }
  return places.length === sizes.length ? places : null;
}

function bounded(count: number): number {
  if (count > MOST_PACKETS) throw new RangeError(`a table of ${count} entries`);
  return count;
}
