import { createStore, type StoreApi } from "zustand/vanilla";
import type { ClipIndex, Reach } from "../../src/study/exchange.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";

/** What is known of one clip just now. */
export interface ClipState {
  readonly index: ClipIndex | null;
  /** Why the index could not be had. */
  readonly error: string | null;
}

export interface ClipWatch {
  readonly state: StoreApi<Readonly<Record<string, ClipState>>>;
  /** Keeps asking about a clip until it is ready or has failed. Calling again asks at once. */
  watch(clip: string): void;
  /** Says which frame is looked at, so that its clip is prepared first, from there where that is exact. */
  want(clip: string, frame: number): Promise<Reach>;
  prepare(clip: string): Promise<void>;
  cancel(clip: string): Promise<void>;
  stop(): void;
}

const UNKNOWN: ClipState = { index: null, error: null };
const ASK_EVERY_MS = 350;
/** While nothing can be shown yet. */
const ASK_FOR_FIRST_MS = 100;
const ASK_AGAIN_AFTER_ERROR_MS = 2000;

export function clipState(all: Readonly<Record<string, ClipState>>, clip: string | null): ClipState {
  return clip === null ? UNKNOWN : (all[clip] ?? UNKNOWN);
}

/** Its first frame is about to come. */
function nextForFirst({ progress, queue }: ClipIndex): boolean {
  return progress.done === 0 && queue !== null && queue <= 1;
}

/** Follows clips while the host prepares them. */
export function startClipWatch(
  shell: Pick<Shell, "clipIndex" | "wantFrame" | "prepareClip" | "cancelClip">,
): ClipWatch {
  const state = createStore<Readonly<Record<string, ClipState>>>(() => ({}));
  const timers = new Map<string, ReturnType<typeof setTimeout>>();
  const asking = new Set<string>();
  let stopped = false;

  const set = (clip: string, next: ClipState) => state.setState({ [clip]: next });

  async function ask(clip: string): Promise<void> {
    if (asking.has(clip) || stopped) return;
    asking.add(clip);
    clearTimeout(timers.get(clip));
    let again: number | null = null;
    try {
      const index = await shell.clipIndex(clip);
      set(clip, { index, error: null });
      if (index.state === "preparing" || index.state === "waiting")
        again = nextForFirst(index) ? ASK_FOR_FIRST_MS : ASK_EVERY_MS;
    } catch (error) {
      if (!(error instanceof ShellError)) throw error;
      set(clip, { ...clipState(state.getState(), clip), error: error.message });
      again = ASK_AGAIN_AFTER_ERROR_MS;
    } finally {
      asking.delete(clip);
    }
    if (again !== null && !stopped)
      timers.set(
        clip,
        setTimeout(() => void ask(clip), again),
      );
  }

  const tell = (act: (clip: string) => Promise<void>) => async (clip: string) => {
    await act(clip);
    await ask(clip);
  };

  return {
    state,
    watch: (clip) => void ask(clip),
    async want(clip, frame) {
      const reach = await shell.wantFrame(clip, frame);
      if (reach !== "now") await ask(clip);
      return reach;
    },
    prepare: tell(shell.prepareClip),
    cancel: tell(shell.cancelClip),
    stop() {
      stopped = true;
      for (const timer of timers.values()) clearTimeout(timer);
    },
  };
}
