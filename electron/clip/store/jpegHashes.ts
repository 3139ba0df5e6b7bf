import { createHash } from "node:crypto";

/** SHA-256 of a frame's JPEG, as a store keeps it beside the frame: 32 hexadecimal digits. */
export function jpegHash(parts: readonly Uint8Array[] | Uint8Array): string {
  const hash = createHash("sha256");
  for (const part of parts instanceof Uint8Array ? [parts] : parts) hash.update(part);
  return hash.digest("hex").slice(0, 32);
}

/** Hashes JPEGs that come end to end in parts of any size. */
export class JpegHashes {
  #parts: Uint8Array[] = [];

  add(part: Uint8Array): void {
    this.#parts.push(part);
  }

  /** Of the next `length` bytes, which must have come. */
  take(length: number): string {
    const taken: Uint8Array[] = [];
    for (let left = length; left > 0; ) {
      const first = this.#parts[0];
      if (!first) throw new Error(`${left} of ${length} bytes of a JPEG have not come`);
      taken.push(first.subarray(0, left));
      if (first.length <= left) this.#parts.shift();
      else this.#parts[0] = first.subarray(left);
      left -= Math.min(left, first.length);
    }
    return jpegHash(taken);
  }
}
