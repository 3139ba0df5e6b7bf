/**
 * Whether decoding may begin at a packet and give the very pictures a decode from the clip's start gives. A container's
 * "key frame" is no proof: periodic refresh and open groups carry that flag too. The packet's own first bytes are.
 */

/** How many bytes of a packet are enough: parameter sets and an encoder's note come before the picture. */
export const HEAD_BYTES = 8192;

export type ByteLayout = "length-prefixed" | "start-codes";

/** Codecs of which every picture stands alone. */
const INTRA_ONLY = new Set(["mjpeg", "prores", "dnxhd", "png", "rawvideo", "v210", "huffyuv", "utvideo"]);

/** `head` = the first bytes of a packet the container calls a key frame. */
export function isCleanStart(codec: string, layout: ByteLayout, head: Uint8Array): boolean {
  if (INTRA_ONLY.has(codec)) return true;
  if (codec === "h264") return firstPicture(head, layout, (b) => b & 31, [1, 5]) === 5;
  // 16 to 23 are random access pictures (H.265, table 7-1): IDR, or CRA, whose leading pictures come before it in
  // display order; what follows it in display order refers to nothing before it.
  if (codec === "hevc")
    return [19, 20, 21].includes(firstPicture(head, layout, (b) => (b >> 1) & 63, [0, 31]) ?? -1);
  if (codec === "vp8") return head.length > 0 && (head[0]! & 1) === 0; // RFC 6386, 9.1
  if (codec === "vp9") return isVp9Key(head);
  if (codec === "av1") return isAv1Key(head);
  return false;
}

/** Type of the first unit that is part of a picture; null when none is found. */
function firstPicture(
  head: Uint8Array,
  layout: ByteLayout,
  typeOf: (firstByte: number) => number,
  [from, to]: readonly [number, number],
): number | null {
  for (const at of layout === "start-codes" ? afterStartCodes(head) : afterLengths(head)) {
    const type = typeOf(head[at]!);
    if (type >= from && type <= to) return type;
  }
  return null;
}

function* afterStartCodes(head: Uint8Array): Generator<number> {
  for (let i = 0; i + 3 < head.length; i++) {
    if (head[i] === 0 && head[i + 1] === 0 && head[i + 2] === 1) yield i + 3;
  }
}

/** Four bytes of length, as every camera writes; another length leads nowhere and proves nothing. */
function* afterLengths(head: Uint8Array): Generator<number> {
  for (let i = 0; i + 4 < head.length; ) {
    const length = head[i]! * 2 ** 24 + head[i + 1]! * 2 ** 16 + head[i + 2]! * 2 ** 8 + head[i + 3]!;
    if (length === 0) return;
    yield i + 4;
    i += 4 + length;
  }
}

/** VP9 bitstream specification 6.2: marker 2 bits, profile 2 (and a reserved bit in profile 3), show_existing, frame_type. */
function isVp9Key(head: Uint8Array): boolean {
  const first = head[0];
  if (first === undefined || first >> 6 !== 2) return false;
  const profile = ((first >> 5) & 1) + 2 * ((first >> 4) & 1);
  const after = profile === 3 ? first & 0b111 : (first >> 1) & 0b111;
  return (after & 0b110) === 0;
}

/** AV1 specification 5.3 and 5.9: the first frame header says key frame, shown at once, after a sequence header. */
function isAv1Key(head: Uint8Array): boolean {
  let sequence = false;
  for (let i = 0; i < head.length; ) {
    const type = (head[i]! >> 3) & 15;
    const extension = (head[i]! >> 2) & 1;
    const hasSize = (head[i]! >> 1) & 1;
    if (!hasSize) return false;
    let at = i + 1 + extension;
    let size = 0;
    for (let k = 0; k < 8; k++) {
      const byte = head[at++];
      if (byte === undefined) return false;
      size += (byte & 127) * 2 ** (7 * k);
      if (byte < 128) break;
    }
    // Bits 3 and 4 of a sequence header: still picture, and the short header that has no such fields.
    if (type === 1) sequence = at < head.length && ((head[at]! >> 3) & 1) === 0;
    if (type === 3 || type === 6) {
      const header = head[at];
      // show_existing_frame 0, frame_type 00 = key, show_frame 1
      return sequence && header !== undefined && header >> 4 === 0b0001;
    }
    i = at + size;
  }
  return false;
}
