import type { ReadAt } from "./headerParts.ts";

/** The stream headers come within the first bytes of the file, before its pictures. */
const HEAD_BYTES = 65536;

/** Seconds the picture of an AVI lasts by its stream header (Microsoft, AVISTREAMHEADER: scale, rate, length); null when it does not say. */
export async function readAvi(read: ReadAt): Promise<number | null> {
  const head = await read(0, HEAD_BYTES);
  for (let at = head.indexOf("strh"); at >= 0 && at + 44 <= head.length; at = head.indexOf("strh", at + 4)) {
    // The type follows the chunk's name and length.
    if (head.toString("latin1", at + 8, at + 12) !== "vids") continue;
    const [scale, rate, length] = [28, 32, 40].map((k) => head.readUInt32LE(at + k)) as [
      number,
      number,
      number,
    ];
    return scale > 0 && rate > 0 && length > 0 ? (length * scale) / rate : null;
  }
  return null;
}
