import { createStore, type StoreApi } from "zustand/vanilla";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";

/** What is known of one clip just now. */
export interface ClipState {
  readonly index: ClipIndex | null;
  /** Why the index could not be had. */
  readonly error: string | null;
  /** Frames prepared per second, while preparing and known. */
  readonly rate: number | null;
}

export interface ClipWatch {
  readonly state: StoreApi<Readonly<Record<string, ClipState>>>;
  /** Keeps asking about a clip until it is ready or has failed. Calling again asks at once. */
  watch(clip: string): void;
  prepare(clip: string): Promise<void>;
  cancel(clip: string): Promise<void>;
  stop(): void;
}

const UNKNOWN: ClipState = { index: null, error: null, rate: null };
const ASK_EVERY_MS = 350;
const ASK_AGAIN_AFTER_ERROR_MS = 2000;

export function clipState(all: Readonly<Record<string, ClipState>>, clip: string | null): ClipState {
  return clip === null ? UNKNOWN : (all[clip] ?? UNKNOWN);
}

/** Follows clips while the host prepares them. */
export function startClipWatch(
  shell: Pick<Shell, "clipIndex" | "prepareClip" | "cancelClip">,
  clock: () => number = () => performance.now(),
): ClipWatch {
  const state = createStore<Readonly<Record<string, ClipState>>>(() => ({}));
  const timers = new Map<string, ReturnType<typeof setTimeout>>();
  const asking = new Set<string>();
  const began = new Map<string, { at: number; ready: number }>();
  let stopped = false;

  const set = (clip: string, next: ClipState) => state.setState({ [clip]: next });

  async function ask(clip: string): Promise<void> {
    if (asking.has(clip) || stopped) return;
    asking.add(clip);
    clearTimeout(timers.get(clip));
    let again: number | null = null;
    try {
      const index = await shell.clipIndex(clip);
      set(clip, { index, error: null, rate: rateOf(clip, index) });
      if (index.state === "preparing" || index.state === "waiting") again = ASK_EVERY_MS;
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

  function rateOf(clip: string, index: ClipIndex): number | null {
    if (index.state !== "preparing") {
      began.delete(clip);
      return null;
    }
    const start = began.get(clip);
    if (!start || index.ready < start.ready) {
      began.set(clip, { at: clock(), ready: index.ready });
      return null;
    }
    const seconds = (clock() - start.at) / 1000;
    return seconds > 0.5 && index.ready > start.ready ? (index.ready - start.ready) / seconds : null;
  }

  const tell = (act: (clip: string) => Promise<void>) => async (clip: string) => {
    await act(clip);
    await ask(clip);
  };

  return {
    state,
    watch: (clip) => void ask(clip),
    prepare: tell(shell.prepareClip),
    cancel: tell(shell.cancelClip),
    stop() {
      stopped = true;
      for (const timer of timers.values()) clearTimeout(timer);
    },
  };
}
