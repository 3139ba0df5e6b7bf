import { clipPackets } from "../ffmpeg/clipPackets.ts";
import { startDecode } from "../ffmpeg/decode.ts";
import type { Timebase } from "../ffmpeg/decodeLog.ts";
import type { Ffmpeg } from "../ffmpeg/findFfmpeg.ts";
import type { Packet, PacketList } from "../ffmpeg/listPackets.ts";
import type { Container, Stated } from "../ffmpeg/stated.ts";
import { HEAD_BYTES, isCleanStart } from "./cleanStart.ts";

/** A picture at which decoding may begin: its number and its integer time. */
export interface CleanStart {
  readonly ordinal: number;
  readonly pts: number;
}

export interface PacketCounts {
  /** Pictures meant to be shown; null where packets do not tell. */
  readonly shown: number | null;
  /** Pictures an edit list hides. */
  readonly discarded: number;
  /** Pictures for which the file gives no time. */
  readonly untimed: number;
  readonly codec: string;
}

/**
 * What the packets of a clip say without decoding. `pts` holds the integer times of all frames in display order and
 * `starts` where decoding may begin, both only when they prove the numbers; otherwise `why` says what forbids it.
 */
export interface PacketPlan {
  readonly pts: readonly number[] | null;
  readonly starts: readonly CleanStart[];
  readonly why: string | null;
  /** Pictures in the file, hidden ones left out. */
  readonly packets: number;
  readonly counts: PacketCounts;
  readonly timebase: Timebase;
}

/** Containers that keep each picture's own time. AVI does not. */
const TIMED: readonly Container[] = ["mov", "matroska", "mpegts"];

/** What is known of a clip before its packets are read. */
export interface KnownBefore {
  readonly stated: Stated;
  /** What a decode said of it; null when there was none: then its first picture is decoded for it. */
  readonly interlaced: boolean | null;
}

/** Reads a clip's packets once, without decoding more than its first picture: a fraction of a second, however long it is. */
export async function packetPlan(
  ffmpeg: Ffmpeg,
  file: string,
  { stated, interlaced: heard }: KnownBefore,
  signal?: AbortSignal,
): Promise<PacketPlan> {
  const [list, interlaced] = await Promise.all([
    clipPackets(ffmpeg, { file, container: stated.container, headBytes: HEAD_BYTES, signal }),
    heard ?? beginsInterlaced(ffmpeg, file, stated, signal),
  ]);
  // Half a list would prove wrong numbers.
  signal?.throwIfAborted();
  return planOf({ ...list, container: stated.container, interlaced });
}

async function beginsInterlaced(
  ffmpeg: Ffmpeg,
  file: string,
  stated: Stated,
  signal: AbortSignal | undefined,
): Promise<boolean> {
  const output = ["-frames:v", "1", "-f", "null", "-"];
  const decode = startDecode(ffmpeg, { file, stated, filters: "", output, onFrame: () => undefined, signal });
  decode.output.resume();
  return (await decode.ended).log.interlaced;
}

export interface PacketFacts extends PacketList {
  readonly container: Container;
  readonly interlaced: boolean;
}

export function planOf({
  packets,
  timebase,
  codec,
  container,
  interlaced,
  problems,
}: PacketFacts): PacketPlan {
  const counts = {
    shown: null,
    discarded: packets.filter((p) => p.discard).length,
    untimed: packets.filter((p) => !p.discard && p.pts === null).length,
    codec,
  };
  const plain = {
    counts,
    timebase: timebase ?? { num: 0, den: 1 },
    packets: packets.length - counts.discarded,
  };
  const damaged = problems.length > 0;
  const no = (why: string): PacketPlan => ({ ...plain, pts: null, starts: [], why });
  if (packets.length === 0 || !timebase) return no("no packets");
  if (!TIMED.includes(container)) return no(`${container} files do not say each frame's time`);
  if (damaged || packets.some((p) => p.corrupt || p.size === 0)) return no("the file is damaged");
  if (interlaced) return no("two fields may share one frame");
  const pts: number[] = [];
  for (const packet of packets) {
    if (packet.discard) continue;
    if (packet.pts === null) return no("times are missing");
    pts.push(packet.pts);
  }
  pts.sort((a, b) => a - b);
  if (pts.some((p, i) => i > 0 && p === pts[i - 1])) return no("times are doubled");
  return {
    ...plain,
    counts: { ...counts, shown: pts.length },
    pts,
    starts: cleanStarts(packets, pts, codec, container),
    why: null,
  };
}

/**
 * Key frames whose own bytes prove a clean start and which part the clip in two: everything before them in the file is
 * shown before them and, but for HEVC's leading pictures, everything after them is shown after them.
 */
function cleanStarts(
  packets: readonly Packet[],
  pts: readonly number[],
  codec: string,
  container: Container,
): CleanStart[] {
  const layout = container === "mpegts" ? "start-codes" : "length-prefixed";
  const ordinals = new Map(pts.map((p, i) => [p, i]));
  const laterFrom: number[] = new Array(packets.length + 1).fill(Number.POSITIVE_INFINITY);
  for (let i = packets.length - 1; i >= 0; i--)
    laterFrom[i] = Math.min(laterFrom[i + 1]!, packets[i]!.pts ?? Number.NEGATIVE_INFINITY);
  const starts: CleanStart[] = [];
  let before = Number.NEGATIVE_INFINITY;
  for (const [i, packet] of packets.entries()) {
    const ordinal = packet.pts === null || packet.discard ? undefined : ordinals.get(packet.pts);
    const parts =
      ordinal !== undefined && before < packet.pts! && (codec === "hevc" || laterFrom[i + 1]! > packet.pts!);
    if (packet.key && parts && isCleanStart(codec, layout, packet.head))
      starts.push({ ordinal, pts: packet.pts! });
    before = Math.max(before, packet.pts ?? Number.POSITIVE_INFINITY);
  }
  return starts;
}

/** The last clean start at or before frame `n`; null when there is none. */
export function startBefore(plan: PacketPlan, n: number): CleanStart | null {
  return plan.starts.findLast((s) => s.ordinal <= n) ?? null;
}
