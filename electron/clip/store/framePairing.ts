/** One frame: where its JPEG lies in its store and its integer time. `length` 0 = no picture could be made of it. */
export interface PairedFrame {
  readonly ordinal: number;
  readonly offset: number;
  readonly length: number;
  readonly pts: number | null;
  /** Decoding begins anew with it: see DecodedFrame. */
  readonly key: boolean;
}

type Time = Pick<PairedFrame, "pts" | "key">;

/**
 * Binds each JPEG to the frame it was made from. Times come from the decode, in order; packets carry the ordinal
 * they were given before encoding; bytes arrive on a third pipe. A frame is ready when all three are there. A
 * packet that never comes leaves a hole at its own ordinal and shifts no neighbour.
 */
export class FramePairing {
  /** Frame `#first` onwards. */
  readonly #times: Time[] = [];
  readonly #first: number;
  readonly #packets: { readonly ordinal: number; readonly size: number }[] = [];
  #bytes: number;
  #next: number;
  #offset: number;

  /** Frame `next` is the first to be stored, its JPEG at `offset`; the first time that comes is frame `first`'s. */
  constructor(next: number, offset: number, first = 0) {
    this.#next = next;
    this.#offset = offset;
    this.#bytes = offset;
    this.#first = first;
  }

  /** The frame whose time comes next. */
  get timesSeen(): number {
    return this.#first + this.#times.length;
  }

  /** The frame that becomes ready next. */
  get next(): number {
    return this.#next;
  }

  /** The decode gave its next frame. */
  addTime(pts: number | null, key: boolean): void {
    this.#times.push({ pts, key });
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
  takeReady(): PairedFrame[] {
    const ready: PairedFrame[] = [];
    let taken = 0;
    for (; taken < this.#packets.length; taken++) {
      const { ordinal, size } = this.#packets[taken]!;
      if (this.#offset + size > this.#bytes || ordinal >= this.timesSeen) break;
      ready.push(...this.#without(ordinal));
      ready.push({ ordinal, offset: this.#offset, length: size, ...this.#time(ordinal) });
      this.#next = ordinal + 1;
      this.#offset += size;
    }
    this.#packets.splice(0, taken);
    return ready;
  }

  /** After the end: frames before `until` that were decoded but never came out of the encoder. */
  takeRest(until = this.timesSeen): PairedFrame[] {
    return this.#without(Math.min(until, this.timesSeen));
  }

  #without(until: number): PairedFrame[] {
    const holes: PairedFrame[] = [];
    for (; this.#next < until; this.#next++)
      holes.push({ ordinal: this.#next, offset: this.#offset, length: 0, ...this.#time(this.#next) });
    return holes;
  }

  #time(ordinal: number): Time {
    const { pts, key } = this.#times[ordinal - this.#first]!;
    return { pts, key };
  }
}
