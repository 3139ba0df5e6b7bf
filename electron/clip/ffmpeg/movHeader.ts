import type { ReadAt, Turn } from "./headerParts.ts";

/** A box: its type, and where its content lies (ISO/IEC 14496-12, 4.2). */
export interface Box {
  readonly type: string;
  readonly from: number;
  readonly to: number;
}

/** The linear part of a display matrix: x' = a x + c y, y' = b x + d y (8.2.2, 8.3.2). */
type Matrix = readonly [a: number, b: number, c: number, d: number];

/**
 * What an MP4 or MOV states: how long it lasts and how its first picture track is turned.
 *
 * @throws {RangeError} when a box says nonsense
 */
export async function readMov(
  read: ReadAt,
  size: number,
): Promise<{ lasts?: number | null } & Partial<Turn>> {
  for await (const box of boxes(read, 0, size)) {
    if (box.type !== "moov") continue;
    let lasts: number | null = null;
    let movie: Matrix = [1, 0, 0, 1];
    for await (const part of boxes(read, box.from, box.to)) {
      if (part.type === "mvhd") {
        const head = await read(part.from, 112);
        lasts = duration(head);
        movie = matrix(head, head[0] === 1 ? 48 : 36);
      }
      if (part.type !== "trak") continue;
      const track = await pictureTrack(read, part);
      if (track) return { lasts, ...turnOf(times(track, movie)) };
    }
    return { lasts };
  }
  return {};
}

export async function* boxes(read: ReadAt, from: number, to: number): AsyncGenerator<Box> {
  for (let at = from; at + 8 <= to; ) {
    const head = await read(at, 16);
    if (head.length < 8) return;
    const short = head.readUInt32BE(0);
    // 1: the length follows in 64 bits; 0: to the end.
    const length = short === 1 ? Number(head.readBigUInt64BE(8)) : short === 0 ? to - at : short;
    if (length < 8) return;
    yield {
      type: head.toString("latin1", 4, 8),
      from: at + (short === 1 ? 16 : 8),
      to: Math.min(at + length, to),
    };
    at += length;
  }
}

/** 8.2.2: version 1 has times of 64 bits. All ones: not known; 0: in pieces, and not said here. */
function duration(mvhd: Buffer): number | null {
  const long = mvhd[0] === 1;
  const scale = mvhd.readUInt32BE(long ? 20 : 12);
  const ticks = long ? Number(mvhd.readBigUInt64BE(24)) : mvhd.readUInt32BE(16);
  const unknown = ticks === 0 || ticks >= (long ? 2 ** 63 : 2 ** 32 - 1);
  return scale === 0 || unknown ? null : ticks / scale;
}

/** The matrix of a track of pictures; null for others. */
async function pictureTrack(read: ReadAt, trak: Box): Promise<Matrix | null> {
  let found: Matrix = [1, 0, 0, 1];
  for await (const part of boxes(read, trak.from, trak.to)) {
    if (part.type === "tkhd") {
      const head = await read(part.from, 96);
      found = matrix(head, head[0] === 1 ? 52 : 40);
    }
  }
  return (await isPictures(read, trak)) ? found : null;
}

/** What a track holds, its handler says (8.4.3). */
export async function isPictures(read: ReadAt, trak: Box): Promise<boolean> {
  for await (const part of boxes(read, trak.from, trak.to)) {
    if (part.type !== "mdia") continue;
    for await (const inner of boxes(read, part.from, part.to))
      if (inner.type === "hdlr") return (await read(inner.from, 12)).toString("latin1", 8, 12) === "vide";
  }
  return false;
}

function matrix(head: Buffer, at: number): Matrix {
  return [0, 4, 12, 16].map((k) => head.readInt32BE(at + k) / 65536) as unknown as Matrix;
}

/** First the track's, then the movie's. */
function times([a, b, c, d]: Matrix, [e, f, g, h]: Matrix): Matrix {
  return [a * e + b * g, a * f + b * h, c * e + d * g, c * f + d * h];
}

/** To the nearest quarter turn. A matrix that turns left into right has a negative determinant. */
export function turnOf([a, b, c, d]: Matrix): Turn {
  const mirrored = a * d - b * c < 0;
  // Mirrored first, the coded x axis points the other way before it is turned.
  const turn = mirrored ? Math.atan2(-b, -a) : Math.atan2(b, a);
  const quarters = ((Math.round((turn * 2) / Math.PI) % 4) + 4) % 4;
  return { rotation: (quarters * 90) as Turn["rotation"], mirrored };
}
