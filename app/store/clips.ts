import { createStore, type StoreApi } from "zustand/vanilla";
import type { ClipIndex, Reach } from "../../src/study/exchange.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";

/** What is known of one clip just now. */
export interface ClipState {
  readonly index: ClipIndex | null;
  /** Why the index could not be fetched. */
  readonly error: string | null;
}

export interface ClipWatch {
  readonly state: StoreApi<Readonly<Record<string, ClipState>>>;
  /** Keeps asking about a clip until it is ready or has failed. Calling again asks at once. */
  watch(clip: string): void;
  /** The host is to tell at once when that frame is there; null = of no frame. */
  await(clip: string, frame: number | null): void;
  /** Says which frame is looked at, so that its clip is prepared first, from there where that is exact. */
  want(clip: string, frame: number): Promise<Reach>;
  prepare(clip: string): Promise<void>;
  cancel(clip: string): Promise<void>;
  stop(): void;
}

const UNKNOWN: ClipState = { index: null, error: null };
const ASK_EVERY_MS = 350;
/** Where the host waits for the frame before it answers. */
const ASK_ON_MS = 10;
const ASK_AGAIN_AFTER_ERROR_MS = 2000;

export function clipState(all: Readonly<Record<string, ClipState>>, clip: string | null): ClipState {
  return clip === null ? UNKNOWN : (all[clip] ?? UNKNOWN);
}

/** Its first frame is about to come. */
function nextForFirst({ progress, queue }: ClipIndex): boolean {
  return progress.done === 0 && queue !== null && queue <= 1;
}

const goesOn = (index: ClipIndex | null) => index?.state === "preparing" || index?.state === "waiting";

/** Follows clips while the host prepares them. */
export function startClipWatch(
  shell: Pick<Shell, "clipIndex" | "wantFrame" | "prepareClip" | "cancelClip">,
): ClipWatch {
  const state = createStore<Readonly<Record<string, ClipState>>>(() => ({}));
  const timers = new Map<string, ReturnType<typeof setTimeout>>();
  const asking = new Set<string>();
  const awaited = new Map<string, number>();
  let stopped = false;

  const set = (clip: string, next: ClipState) => state.setState({ [clip]: next });

  function frameFor(clip: string): number | "any" | undefined {
    const { index } = clipState(state.getState(), clip);
    if (!index || !goesOn(index)) return undefined;
    return nextForFirst(index) ? "any" : awaited.get(clip);
  }

  async function ask(clip: string): Promise<void> {
    if (asking.has(clip) || stopped) return;
    asking.add(clip);
    clearTimeout(timers.get(clip));
    let again: number | null = null;
    try {
      const index = await shell.clipIndex(clip, frameFor(clip));
      set(clip, { index, error: null });
      if (goesOn(index)) again = frameFor(clip) === undefined ? ASK_EVERY_MS : ASK_ON_MS;
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
    await(clip, frame) {
      if (frame === null) awaited.delete(clip);
      else awaited.set(clip, frame);
      void ask(clip);
    },
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
