/** One frame of a store: where its JPEG lies and its integer time. `length` 0 = no picture could be made of it. */
export interface StoredFrame {
  readonly offset: number;
  readonly length: number;
  readonly pts: number | null;
}

/**
 * Binds each JPEG to the frame it was made from. Times come from the decode, in order; packets carry the ordinal
 * they were given before encoding; bytes arrive on a third pipe. A frame is ready when all three are there. A
 * packet that never comes leaves a hole at its own ordinal and shifts no neighbour.
 */
export class FramePairing {
  readonly #times: (number | null)[] = [];
  readonly #packets: { readonly ordinal: number; readonly size: number }[] = [];
  #bytes: number;
  #next: number;
  #offset: number;

  /** Starts at frame `next`, whose JPEG will lie at `offset`; `times` are those of the frames before it. */
  constructor(next: number, offset: number) {
    this.#next = next;
    this.#offset = offset;
    this.#bytes = offset;
  }

  get timesSeen(): number {
    return this.#times.length;
  }

  /** The decode gave its next frame, counted from the start of the clip. */
  addTime(pts: number | null): void {
    this.#times.push(pts);
  }

  /** The encoder gave a JPEG of `size` bytes for frame `ordinal`. */
  addPacket(ordinal: number, size: number): void {
    this.#packets.push({ ordinal, size });
  }

  /** `count` more bytes of JPEGs are safely in the file. */
  addBytes(count: number): void {
    this.#bytes += count;
  }

  /** Frames that have become ready, in order. */
  takeReady(): StoredFrame[] {
    const ready: StoredFrame[] = [];
    for (;;) {
      const packet = this.#packets[0];
      if (!packet || this.#offset + packet.size > this.#bytes) return ready;
      if (packet.ordinal >= this.#times.length) return ready;
      this.#packets.shift();
      for (; this.#next < packet.ordinal; this.#next++) {
        ready.push({ offset: this.#offset, length: 0, pts: this.#times[this.#next]! });
      }
      ready.push({ offset: this.#offset, length: packet.size, pts: this.#times[packet.ordinal]! });
      this.#next = packet.ordinal + 1;
      this.#offset += packet.size;
    }
  }

  /** After the end: frames that were decoded but never came out of the encoder. */
  takeRest(): StoredFrame[] {
    const rest = this.#times.slice(this.#next).map((pts) => ({ offset: this.#offset, length: 0, pts }));
    this.#next = this.#times.length;
    return rest;
  }
}
