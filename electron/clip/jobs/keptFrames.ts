import type { PairedFrame } from "../store/framePairing.ts";
import type { FrameStore } from "../store/frameStore.ts";
import { JpegHashes } from "../store/jpegHashes.ts";
import type { HeardFrames } from "./heardFrames.ts";

/** The store's list, open at its end. */
interface OpenList {
  appendFile(lines: string): Promise<void>;
}

/** Puts frames into the store's list as soon as their JPEGs are in its file. */
export class KeptFrames {
  readonly #store: FrameStore;
  readonly #heard: HeardFrames;
  readonly #list: OpenList;
  readonly #onReady: (next: number) => void;
  readonly #hashes = new JpegHashes();
  #saved: boolean;

  /** @param onReady told of the next frame after every batch that can now be shown */
  constructor(store: FrameStore, heard: HeardFrames, list: OpenList, onReady: (next: number) => void) {
    this.#store = store;
    this.#heard = heard;
    this.#list = list;
    this.#onReady = onReady;
    this.#saved = store.prepared > 0;
  }

  /** These bytes of JPEGs are in the file. */
  async add(part: Buffer): Promise<void> {
    this.#hashes.add(part);
    this.#heard.pairing.addBytes(part.length);
    await this.settle(this.#heard.pairing.takeReady());
  }

  async settle(paired: readonly PairedFrame[]): Promise<void> {
    if (paired.length === 0) return;
    const ready = paired.map((frame) => ({ ...frame, hash: this.#hashes.take(frame.length) }));
    if (!this.#saved) await this.#store.saveState("partial");
    this.#saved = true;
    const lines = ready.map((frame) => this.#store.listLine(frame)).join("");
    await this.#list.appendFile(this.#heard.takeTimeLines() + lines);
    this.#store.add(ready);
    this.#onReady(this.#heard.pairing.next);
  }
}
