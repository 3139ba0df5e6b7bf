import type { WholeStudy } from "../../src/study/types.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import type { Shell } from "../shell/Shell.ts";
import type { Session } from "./session.ts";
import type { StepsJournal } from "./stepsJournal.ts";

/** What of the study the files hold, as far as this window knows, and how one part more comes into them. */
export class SavedParts {
  #saved: WholeStudy;
  readonly #session: Session;
  readonly #shell: Pick<Shell, "saveStudy" | "saveMarks">;
  readonly #journal: StepsJournal;

  constructor(session: Session, shell: Pick<Shell, "saveStudy" | "saveMarks">, journal: StepsJournal) {
    this.#session = session;
    this.#shell = shell;
    this.#journal = journal;
    this.#saved = session.getState().whole;
  }

  /** True while something a person did is not on disk. */
  unsaved(): boolean {
    return !sameParts(this.#saved, this.#session.getState().whole);
  }

  /** Saves one part that differs and remembers it as saved; gives when. */
  async saveOne(): Promise<string> {
    const { study, marks } = this.#session.getState().whole;
    const made = this.#journal.made();
    await this.#journal.flush();
    const after = this.#journal.made() === null ? null : made;
    if (study !== this.#saved.study) {
      const { savedAt } = await this.#shell.saveStudy(study, after);
      this.#saved = { ...this.#saved, study };
      return savedAt;
    }
    const trial = this.#changedTrials()[0] as string;
    const { savedAt } = await this.#shell.saveMarks(marks[trial] ?? emptyMarks(trial), after);
    const { [trial]: _, ...others } = this.#saved.marks;
    this.#saved = { ...this.#saved, marks: marks[trial] ? { ...others, [trial]: marks[trial] } : others };
    return savedAt;
  }

  /** Sends everything that differs at once, without waiting for an answer. */
  leave(): void {
    const { study, marks } = this.#session.getState().whole;
    const after = this.#journal.made();
    const steps = this.#journal.leave();
    const sent = this.#changedTrials().map((id) => this.#shell.saveMarks(marks[id] ?? emptyMarks(id), after));
    const all =
      study === this.#saved.study ? [steps, ...sent] : [steps, this.#shell.saveStudy(study, after), ...sent];
    // A window that comes back (another tab was in front) finds it unsaved still and saves it once more.
    for (const answer of all) answer.catch(() => undefined);
  }

  #changedTrials(): string[] {
    const { marks } = this.#session.getState().whole;
    const saved = this.#saved.marks;
    return Object.keys({ ...saved, ...marks }).filter((id) => saved[id] !== marks[id]);
  }
}

function sameParts(a: WholeStudy, b: WholeStudy): boolean {
  if (a === b) return true;
  if (a.study !== b.study) return false;
  return Object.keys({ ...a.marks, ...b.marks }).every((id) => a.marks[id] === b.marks[id]);
}
