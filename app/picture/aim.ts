/** Where somebody is about to go: the number being typed, the place under the pointer. */
export interface Aim {
  /** null: nowhere. */
  at(frame: number | null): void;
  /** Tells of each place that is aimed at for a moment; returns how to stop. */
  follow(heard: (frame: number | null) => void): () => void;
}

/** Shorter than between two keys or before a click; longer than a pointer passing over is on one place, ms. */
const RESTS_MS = 40;

export function createAim(): Aim {
  const listeners = new Set<(frame: number | null) => void>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  return {
    at(frame) {
      clearTimeout(timer);
      timer = setTimeout(() => {
        for (const heard of listeners) heard(frame);
      }, RESTS_MS);
    },
    follow(heard) {
      listeners.add(heard);
      return () => {
        listeners.delete(heard);
      };
    },
  };
}
