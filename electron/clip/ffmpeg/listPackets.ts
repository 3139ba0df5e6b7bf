import { boundedLines } from "./boundedLines.ts";
import type { Problem, Timebase } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { ONE_STREAM, runFfmpeg } from "./runFfmpeg.ts";
import type { Container } from "./stated.ts";

/** One packet of the clip's pictures, in the order of the file. */
export interface Packet {
  /** Integer presentation time in the stream's timebase; null = the file gives none. */
  readonly pts: number | null;
  readonly key: boolean;
  /** Hidden by an edit list. */
  readonly discard: boolean;
  readonly corrupt: boolean;
  readonly size: number;
  /** The first bytes of key packets; empty for others. */
  readonly head: Uint8Array;
}

export interface PacketList {
  readonly packets: readonly Packet[];
  readonly timebase: Timebase | null;
  /** ffmpeg's name of it, e.g. "h264"; "unknown" when there is none. */
  readonly codec: string;
  readonly problems: readonly Problem[];
}

/** libavcodec/packet.h */
const [KEY, CORRUPT, DISCARD] = [1, 2, 4];

export interface ListRequest {
  readonly file: string;
  readonly container: Container;
  /** How many of each key packet's bytes are kept. */
  readonly headBytes: number;
  /** Seconds, the file's own time: from the key packet before it on. Absent = from the start. */
  readonly seekTo?: number;
  /** At most so many; absent = to the end. */
  readonly most?: number;
  readonly signal?: AbortSignal | undefined;
}

/** Lists the packets of a clip's pictures without decoding them. */
export async function listPackets(
  ffmpeg: Ffmpeg,
  { file, container, headBytes, seekTo, most, signal }: ListRequest,
): Promise<PacketList> {
  const only = most === undefined ? [] : ["-frames:v", String(most)];
  const run = runFfmpeg(ffmpeg, {
    file,
    container,
    input: seekTo === undefined ? [] : ["-seek_timestamp", "1", "-ss", seekTo.toFixed(6)],
    // Their bytes go to one pipe, the list that says how long each is to the other.
    // Two outputs: in one, the tee muxer would count times in frames of the stated rate.
    output: [
      ...[...only, "-c", "copy", "-copyinkf", "-f", "data", "pipe:1"],
      ...[
        ...ONE_STREAM,
        ...only,
        "-c",
        "copy",
        "-copyinkf",
        "-flush_packets",
        "1",
        "-f",
        "framecrc",
        "pipe:3",
      ],
    ],
    onFrame: () => undefined,
    signal,
  });
  const found: Omit<Packet, "head">[] = [];
  let timebase: Timebase | null = null;
  let codec = "unknown";
  const listed = boundedLines(run.packets, (line) => {
    codec = /^#codec_id 0: (\w+)$/.exec(line)?.[1] ?? codec;
    const base = /^#tb 0: (\d+)\/(\d+)/.exec(line);
    if (base) timebase = { num: Number(base[1]), den: Number(base[2]) };
    const packet = readLine(line);
    if (packet) found.push(packet);
  });
  const heads = new Heads(headBytes);
  for await (const chunk of run.output as AsyncIterable<Buffer>) heads.add(chunk, found);
  const { log } = await run.ended;
  await listed;
  heads.add(Buffer.alloc(0), found);
  const packets = found.map((p, i) => ({ ...p, head: heads.of(i) }));
  return { packets, timebase, codec, problems: log.problems };
}

/** `stream, dts, pts, duration, size, 0xcrc[, F=0xflags][, S=…]`; flags stand there unless they are exactly "key". */
function readLine(line: string): Omit<Packet, "head"> | null {
  const [stream, , pts, , size, , ...rest] = line.split(",").map((field) => field.trim());
  if (stream !== "0" || size === undefined) return null;
  const said = rest.find((field) => field.startsWith("F="));
  const flags = said ? Number(said.slice(2)) : KEY;
  return {
    // The smallest 64-bit number is ffmpeg's "no time".
    pts: pts === "NOPTS" || Number(pts) < -(2 ** 62) ? null : Number(pts),
    key: (flags & KEY) !== 0,
    discard: (flags & DISCARD) !== 0,
    corrupt: (flags & CORRUPT) !== 0,
    size: Number(size),
  };
}

/** Keeps the first bytes of each key packet out of all packets' bytes laid end to end; the list may lag behind them. */
class Heads {
  readonly #limit: number;
  readonly #kept = new Map<number, Uint8Array>();
  /** Bytes for which no line has come yet. */
  #waiting: Buffer[] = [];
  #packet = 0;
  #within = 0;

  constructor(limit: number) {
    this.#limit = limit;
  }

  add(chunk: Buffer, packets: readonly { readonly key: boolean; readonly size: number }[]): void {
    this.#waiting.push(chunk);
    let bytes = this.#waiting.length === 1 ? chunk : Buffer.concat(this.#waiting);
    for (let p = packets[this.#packet]; p && bytes.length > 0; p = packets[this.#packet]) {
      const part = bytes.subarray(0, p.size - this.#within);
      const room = this.#limit - this.#within;
      if (p.key && room > 0) this.#keep(part.subarray(0, room));
      this.#within += part.length;
      bytes = bytes.subarray(part.length);
      if (this.#within < p.size) break;
      this.#packet += 1;
      this.#within = 0;
    }
    this.#waiting = bytes.length > 0 ? [bytes] : [];
  }

  #keep(part: Uint8Array): void {
    this.#kept.set(this.#packet, Buffer.concat([this.#kept.get(this.#packet) ?? new Uint8Array(), part]));
  }

  of(packet: number): Uint8Array {
    return this.#kept.get(packet) ?? new Uint8Array();
  }
}
