import { type JournalStep, stepChanges } from "../../src/study/journal.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";
import type { StepsKeeper } from "./keptSteps.ts";
import type { Session, SessionState, Step } from "./session.ts";

export interface StepsJournal {
  /** Steps made so far; null = the host keeps no journal of this window's steps (any more). */
  made(): number | null;
  /** Resolves once every step made so far is on the disk. @throws {ShellError} when that is not possible now */
  flush(): Promise<void>;
  /** Sends what is not acknowledged yet once more, without waiting: the window is going. */
  leave(): Promise<unknown>;
  /** Every document is saved, so nothing needs to be kept any more. */
  allSaved(): void;
  stop(): void;
}

/**
 * Sends each thing a person does to the host as soon as it is done, where it is on the disk some milliseconds later.
 * Whole documents follow at leisure (autosave).
 */
export function startJournal(
  session: Session,
  shell: Pick<Shell, "addSteps">,
  keeper: Pick<StepsKeeper, "keep">,
): StepsJournal {
  let acknowledged = session.getState().stepsMade;
  let waiting: readonly JournalStep[] = [];
  /** Made since the host took no more steps: saved with the documents only. */
  let loose: readonly JournalStep[] = [];
  let running: Promise<void> | null = null;
  let broken = false;

  function flush(): Promise<void> {
    running ??= sendAll().finally(() => {
      running = null;
    });
    return running;
  }

  async function sendAll(): Promise<void> {
    while (waiting.length > 0) {
      const steps = waiting;
      try {
        await shell.addSteps(acknowledged, steps);
      } catch (error) {
        if (!(error instanceof ShellError)) throw error;
        if (!doesNotFit(error)) throw error;
        // The host's study is not this window's any more: from now on whole documents only.
        broken = true;
        loose = waiting;
        waiting = [];
        return;
      }
      acknowledged += steps.length;
      waiting = waiting.slice(steps.length);
      keeper.keep(waiting);
    }
  }

  const stopListening = session.subscribe((now, before) => {
    if (now.readOnly || now.whole === before.whole) return;
    const step = stepOf(now, before);
    if (broken) loose = [...loose, step];
    else waiting = [...waiting, step];
    keeper.keep([...loose, ...waiting]);
    if (broken) return;
    // A failure is said by autosave, which sends the rest again.
    flush().catch((error) => {
      if (!(error instanceof ShellError)) throw error;
    });
  });

  return {
    made: () => (broken ? null : acknowledged + waiting.length),
    flush,
    // Steps that are there already are not made twice.
    leave: async () => waiting.length > 0 && shell.addSteps(acknowledged, waiting),
    allSaved() {
      loose = [];
      keeper.keep(waiting);
    },
    stop: stopListening,
  };
}

function doesNotFit({ code }: ShellError): boolean {
  return ["steps-missing", "changes-do-not-fit", "bad-steps", "damaged-document", "not-found"].includes(code);
}

/** What happened between two states of a session: the lists of what can be undone and redone tell which way it went. */
function stepOf(now: SessionState, before: SessionState): JournalStep {
  const changes = stepChanges(before.whole, now.whole);
  const made = { id: crypto.randomUUID() as string, trial: before.trial, frame: before.frame, changes };
  const undone = before.past.at(-1);
  const again = before.future[0];
  if (undone && now.whole === undone.whole && now.past.length === before.past.length - 1)
    return { ...made, kind: "undo", ...of(undone) };
  if (again && now.whole === again.whole && now.future.length === before.future.length - 1)
    return { ...made, kind: "redo", ...of(again) };
  const done = now.past.at(-1);
  return { ...made, id: done?.id ?? made.id, kind: "do", ...(done ? of(done) : { label: "" }) };
}

function of({ label, place }: Step): Pick<JournalStep, "label" | "place"> {
  return place === null ? { label } : { label, place };
}
