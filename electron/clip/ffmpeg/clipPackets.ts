import { open } from "node:fs/promises";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { type ListRequest, listPackets, type Packet, type PacketList } from "./listPackets.ts";
import { type MovTable, movTable, type TablePacket } from "./movTable.ts";
import { readingHeader } from "./stated.ts";

/** Smaller films are read through sooner than anybody waits for it. */
const LARGE_BYTES = 100e6;
/** So many at the beginning must be as the table says; at the end, from the last key packet but one on. */
const CHECKED = 120;
/** Files hold so many key packets that one read after another would take long, all at once too much memory. */
const READ_AT_ONCE = 16;

type Request = Pick<ListRequest, "file" | "container" | "headBytes" | "signal">;

/**
 * All packets of a clip's pictures. Of a large MP4 or MOV from its own table, where ffmpeg finds the very packets it says at the
 * beginning and at the end; else by reading the film through.
 *
 * @param large from so many bytes on
 */
export async function clipPackets(
  ffmpeg: Ffmpeg,
  request: Request,
  large = LARGE_BYTES,
): Promise<PacketList> {
  const table = request.container === "mov" ? await tableOf(request.file, large) : null;
  return (table && (await byTable(ffmpeg, request, table))) ?? listPackets(ffmpeg, request);
}

async function tableOf(file: string, large: number): Promise<MovTable | null> {
  try {
    return await readingHeader(file, async (read, size) => (size < large ? null : movTable(read, size)));
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** null when ffmpeg does not find what the table says. */
async function byTable(ffmpeg: Ffmpeg, request: Request, table: MovTable): Promise<PacketList | null> {
  const { packets, timebase } = table;
  const keys = packets.flatMap((p, i) => (p.key ? [i] : []));
  const lastButOne = keys.at(-2);
  if (lastButOne === undefined) return null;
  const seekTo = (packets[lastButOne]!.pts * timebase.num) / timebase.den;
  const [first, last] = await Promise.all([
    listPackets(ffmpeg, { ...request, headBytes: 0, most: CHECKED }),
    listPackets(ffmpeg, { ...request, headBytes: 0, seekTo }),
  ]);
  request.signal?.throwIfAborted();
  const ends = last.packets.length > packets.length - lastButOne - 1;
  const same =
    isPart(packets.slice(0, CHECKED), first.packets) &&
    ends &&
    isPart(packets.slice(-last.packets.length), last.packets);
  const plain = [first, last].every(
    (l) => l.problems.length === 0 && l.timebase?.num === timebase.num && l.timebase.den === timebase.den,
  );
  if (!same || !plain) return null;
  const heads = await headsOf(request, packets);
  return {
    packets: packets.map(({ pts, key, size }, i) => ({
      ...{ pts, key, size, discard: false, corrupt: false },
      head: heads.get(i) ?? NO_HEAD,
    })),
    timebase,
    codec: first.codec,
    problems: [],
  };
}

const NO_HEAD = new Uint8Array();

function isPart(said: readonly TablePacket[], found: readonly Packet[]): boolean {
  const same = (a: TablePacket, b: Packet) =>
    a.pts === b.pts && a.key === b.key && a.size === b.size && !b.discard && !b.corrupt;
  return said.length === found.length && said.every((p, i) => same(p, found[i]!));
}

/** The first bytes of each key packet, by its place in the list. */
async function headsOf(
  { file, headBytes, signal }: Request,
  packets: readonly TablePacket[],
): Promise<ReadonlyMap<number, Uint8Array>> {
  const heads = new Map<number, Uint8Array>();
  const left = packets.flatMap((p, i) => (p.key ? [{ ...p, i }] : []));
  const handle = await open(file, "r");
  const work = async () => {
    for (let next = left.pop(); next && !signal?.aborted; next = left.pop()) {
      const length = Math.min(headBytes, next.size);
      const { buffer, bytesRead } = await handle.read(Buffer.alloc(length), 0, length, next.at);
      heads.set(next.i, buffer.subarray(0, bytesRead));
    }
  };
  try {
    await Promise.all(Array.from({ length: READ_AT_ONCE }, work));
  } finally {
    await handle.close();
  }
  return heads;
}
