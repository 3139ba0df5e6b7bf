/** Lets somebody wait until something has changed about a clip. */
export class ClipNews {
  readonly #waiting = new Map<string, Set<() => void>>();

  /** Something has changed. */
  tell(clip: string): void {
    const waiting = this.#waiting.get(clip);
    this.#waiting.delete(clip);
    for (const heard of waiting ?? []) heard();
  }

  /** Resolves at the next change, or after `ms`. */
  heard(clip: string, ms: number): Promise<void> {
    return new Promise((resolve) => {
      const waiting = this.#waiting.get(clip) ?? new Set();
      this.#waiting.set(clip, waiting);
      const heard = () => {
        clearTimeout(timer);
        waiting.delete(heard);
        resolve();
      };
      const timer = setTimeout(heard, ms);
      waiting.add(heard);
    });
  }
}
