import { createStore, type StoreApi } from "zustand/vanilla";
import { type Shell, ShellError } from "../shell/Shell.ts";
import type { StepsKeeper } from "./keptSteps.ts";
import { SavedParts } from "./savedParts.ts";
import { SavedPosition } from "./savedPosition.ts";
import type { Session } from "./session.ts";
import { startJournal } from "./stepsJournal.ts";

export type SaveState =
  | { readonly kind: "saved"; readonly at: string | null }
  | { readonly kind: "saving" }
  | {
      readonly kind: "failed";
      readonly reason: string;
      /** The host was started again since, or something else was done: only a window opened anew can save. */
      readonly restarted: boolean;
      /** A file that another program changed: a person chooses which one the study goes on with. */
      readonly changed: string | null;
      /** The browser keeps what is not saved, should the window end. */
      readonly kept: boolean;
    };

export interface Autosave {
  readonly state: StoreApi<SaveState>;
  /** Saves at once what is not saved yet; resolves when it is saved or has failed. */
  flush(): Promise<void>;
  /**
   * The window is going: sends everything that is not saved yet, and where the person is, at once and side by side,
   * because nothing that waits for an answer is sent any more.
   */
  leave(): void;
  /** True while something a person did is not on disk. */
  unsaved(): boolean;
  /** Writes over what another program put in a file's place; that stays in the study's folder "conflicts". */
  keepOurs(document: string): Promise<void>;
  stop(): void;
}

export interface AutosaveTimes {
  readonly delayMs: number;
  readonly retryMs: readonly number[];
}

const TIMES: AutosaveTimes = { delayMs: 400, retryMs: [1000, 3000, 10_000] };

/**
 * Saves what a person did: each step at once in the host's journal, and a moment later in the files; of these only the
 * parts that are not the same object as at the last save, one request at a time, again and again until it worked. A
 * read-only study is never saved.
 */
export function startAutosave(
  session: Session,
  shell: Pick<Shell, "saveStudy" | "saveMarks" | "savePosition" | "addSteps" | "choose">,
  keeper: Pick<StepsKeeper, "keep" | "keeps">,
  times: AutosaveTimes = TIMES,
): Autosave {
  const journal = startJournal(session, shell, keeper);
  const state = createStore<SaveState>(() => ({ kind: "saved", at: null }));
  const parts = new SavedParts(session, shell, journal);
  const position = new SavedPosition(session, shell, times.delayMs);
  let timer: ReturnType<typeof setTimeout> | undefined;
  let running: Promise<void> | null = null;
  let failures = 0;

  const unsaved = () => parts.unsaved();

  const schedule = (ms: number) => {
    clearTimeout(timer);
    timer = setTimeout(() => void flush(), ms);
  };

  function flush(): Promise<void> {
    clearTimeout(timer);
    running ??= saveAll().finally(() => {
      running = null;
    });
    return running;
  }

  async function saveAll(): Promise<void> {
    while (unsaved()) {
      state.setState({ kind: "saving" }, true);
      try {
        const at = await parts.saveOne();
        failures = 0;
        if (unsaved()) continue;
        journal.allSaved();
        state.setState({ kind: "saved", at }, true);
      } catch (error) {
        if (!(error instanceof ShellError)) throw error;
        const changed = error.code === "changed-under-us" ? String(error.data.document) : null;
        const restarted = error.code === "restarted" || error.code === "other-steps";
        const kept = keeper.keeps();
        state.setState({ kind: "failed", reason: error.message, restarted, changed, kept }, true);
        // A refusal (409) stays one until a person decides; all else may have passed by then.
        if (error.status !== 409)
          schedule(times.retryMs[Math.min(failures, times.retryMs.length - 1)] ?? 1000);
        failures += 1;
        return;
      }
    }
    // Everything was taken back to what is on disk before it was sent.
    if (state.getState().kind !== "saved") state.setState({ kind: "saved", at: null }, true);
  }

  function leave(): void {
    position.save();
    if (!session.getState().readOnly) parts.leave();
  }

  const stopListening = session.subscribe(({ whole, readOnly }, before) => {
    if (!readOnly && whole !== before.whole) {
      if (unsaved()) state.setState({ kind: "saving" }, true);
      schedule(times.delayMs);
    }
    position.look();
  });

  return {
    state,
    flush,
    leave,
    unsaved,
    async keepOurs(document) {
      await shell.choose(document);
      await flush();
    },
    stop() {
      journal.stop();
      stopListening();
      clearTimeout(timer);
      position.stop();
    },
  };
}
