/** Clips waiting to be prepared, one at a time, the next one first. */
export class ClipQueue {
  readonly #prepare: (clip: string) => Promise<void>;
  #waiting: string[] = [];
  #working: Promise<void> | null = null;
  #closed = false;

  /** @param prepare resolves once the clip is done with, also when it failed or was stopped; never rejects */
  constructor(prepare: (clip: string) => Promise<void>) {
    this.#prepare = prepare;
  }

  /** After all others, unless it waits already. */
  addLast(clip: string): void {
    if (!this.#waiting.includes(clip)) this.#waiting.push(clip);
    this.#work();
  }

  /** Before all others. */
  addFirst(clip: string): void {
    this.#waiting = [clip, ...this.#waiting.filter((c) => c !== clip)];
    this.#work();
  }

  remove(clip: string): void {
    this.#waiting = this.#waiting.filter((c) => c !== clip);
  }

  /** How many waiting clips come before it; null when it does not wait. */
  place(clip: string): number | null {
    const place = this.#waiting.indexOf(clip);
    return place < 0 ? null : place;
  }

  /** Begins no other one. Resolves when the one being prepared has ended. */
  async close(): Promise<void> {
    this.#closed = true;
    this.#waiting = [];
    await this.#working;
  }

  #work(): void {
    if (this.#closed) return;
    this.#working ??= this.#workThrough().finally(() => {
      this.#working = null;
      // Queued while the last one was just ending.
      if (this.#waiting.length > 0) this.#work();
    });
  }

  async #workThrough(): Promise<void> {
    for (let clip = this.#waiting.shift(); clip !== undefined; clip = this.#waiting.shift()) {
      if (this.#closed) return;
      await this.#prepare(clip);
    }
  }
}
