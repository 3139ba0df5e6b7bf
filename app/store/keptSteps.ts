import type { JournalStep } from "../../src/study/journal.ts";

/** Steps of one window that the host has not acknowledged, as the browser keeps them. */
export interface KeptSteps {
  readonly key: string;
  /** When the last of them was made, ms since 1970. */
  readonly at: number;
  readonly steps: readonly JournalStep[];
}

export interface StepsKeeper {
  /** Keeps these steps in the place of what this window kept before; none = nothing is kept. */
  keep(steps: readonly JournalStep[]): void;
  /** Whether the browser took what it was last given: some give no storage, and it may be full. */
  keeps(): boolean;
  /** What other windows of this study kept and could not save, oldest first. */
  found(): KeptSteps[];
  drop(keys: readonly string[]): void;
}

const PREFIX = "blademark unsaved ";

/**
 * What is done and not yet on the disk, in the browser's own storage: there it outlives this window and the program
 * behind it. Nothing is kept of what is saved.
 *
 * @param storage null where the browser gives none: then nothing is kept
 * @param now ms since 1970
 */
export function createKeeper(
  storage: Storage | null,
  folder: string,
  window: string,
  now: () => number = Date.now,
): StepsKeeper {
  const ofStudy = `${PREFIX}${folder} `;
  const own = ofStudy + window;
  let keeping = false;
  let taken = storage !== null;
  return {
    keep(steps) {
      if (steps.length === 0 && !keeping) return;
      keeping = steps.length > 0;
      try {
        if (keeping) storage?.setItem(own, JSON.stringify({ at: now(), steps }));
        else storage?.removeItem(own);
        taken = storage !== null;
      } catch (error) {
        // Full or forbidden: the window says that it must stay open.
        if (!(error instanceof DOMException)) throw error;
        taken = false;
      }
    },
    keeps: () => taken,
    found() {
      if (!storage) return [];
      return Array.from({ length: storage.length }, (_, i) => storage.key(i) ?? "")
        .filter((key) => key.startsWith(ofStudy) && !key.slice(ofStudy.length).includes(" ") && key !== own)
        .flatMap((key) => readKept(key, storage.getItem(key)) ?? [])
        .sort((a, b) => a.at - b.at);
    },
    drop(keys) {
      for (const key of keys) storage?.removeItem(key);
    },
  };
}

/** The browser's storage; null where it gives none. */
export function browserStorage(): Storage | null {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}

/** Null for what is none of ours; what the steps hold is checked before they are used. */
function readKept(key: string, text: string | null): KeptSteps | null {
  try {
    const { at, steps } = JSON.parse(text ?? "");
    return typeof at === "number" && Array.isArray(steps) ? { key, at, steps } : null;
  } catch {
    return null;
  }
}
