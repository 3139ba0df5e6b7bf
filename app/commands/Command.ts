import type { WholeStudy } from "../../src/study/types.ts";

/**
 * One thing a person can do to the study. Plain data in, plain data out: no React, no Shell, so a test calls
 * `run` directly. The session store records the state before it, so that every command can be undone.
 */
export interface Command<Args> {
  readonly name: string;
  /** Shown after "Undo": "Undo mark left blade, toe end". */
  label(args: Args): string;
  /** Returns the same object when nothing changes (then nothing is recorded). Throws MeasureError on bad input. */
  run(whole: WholeStudy, args: Args): WholeStudy;
}
