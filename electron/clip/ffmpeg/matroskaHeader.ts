import type { ReadAt } from "./headerParts.ts";

/** Identifiers of RFC 9559 (Matroska), as they stand in the file. */
const [SEGMENT, INFO, CLUSTER, SCALE, DURATION] = [0x18538067, 0x1549a966, 0x1f43b675, 0x2ad7b1, 0x4489];

interface Element {
  readonly id: number;
  readonly from: number;
  readonly to: number;
}

/**
 * Seconds a Matroska or WebM file says it lasts (RFC 9559, 5.1.2); null when it does not.
 *
 * @throws {RangeError} when an element says nonsense
 */
export async function readMatroska(read: ReadAt, size: number): Promise<number | null> {
  for await (const segment of elements(read, 0, size)) {
    if (segment.id !== SEGMENT) continue;
    for await (const part of elements(read, segment.from, segment.to)) {
      if (part.id === CLUSTER) return null;
      if (part.id !== INFO) continue;
      let [scale, ticks] = [1_000_000, 0];
      for await (const { id, from, to } of elements(read, part.from, part.to)) {
        if (id === SCALE && to - from <= 6 && to > from)
          scale = (await read(from, to - from)).readUIntBE(0, to - from);
        if (id === DURATION && to - from === 4) ticks = (await read(from, 4)).readFloatBE(0);
        if (id === DURATION && to - from === 8) ticks = (await read(from, 8)).readDoubleBE(0);
      }
      const lasts = (ticks * scale) / 1e9;
      return Number.isFinite(lasts) && lasts > 0 ? lasts : null;
    }
    return null;
  }
  return null;
}

/** RFC 8794, 4 to 6: an identifier of 1 to 4 bytes, a length of 1 to 8; all ones = to the end. */
async function* elements(read: ReadAt, from: number, to: number): AsyncGenerator<Element> {
  for (let at = from; at + 2 <= to; ) {
    const head = await read(at, 12);
    const idBytes = widthOf(head[0]);
    const lengthBytes = widthOf(head[idBytes]);
    if (idBytes > 4 || lengthBytes > 8 || head.length < idBytes + lengthBytes) return;
    const id = head.readUIntBE(0, idBytes);
    const body = at + idBytes + lengthBytes;
    let length = head[idBytes]! & (2 ** (8 - lengthBytes) - 1);
    let unknown = length === 2 ** (8 - lengthBytes) - 1;
    for (const byte of head.subarray(idBytes + 1, idBytes + lengthBytes)) {
      length = length * 256 + byte;
      unknown &&= byte === 255;
    }
    yield { id, from: body, to: unknown ? to : Math.min(body + length, to) };
    if (unknown) return;
    at = body + length;
  }
}

/** Bytes of a number whose first byte's leading zeros say how many follow. */
function widthOf(first = 0): number {
  return Math.clz32(first) - 23;
}
