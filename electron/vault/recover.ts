import { MeasureError } from "../../src/errors.ts";
import type { JournalStep } from "../../src/study/journal.ts";
import { withCheckedChanges } from "../../src/study/parseSteps.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { type Entry, type ReadJournal, stepsIn, stepsOf } from "./journalFile.ts";
import type { ReadStudy } from "./openStudy.ts";

export interface Recovered {
  readonly whole: WholeStudy;
  /** Documents that hold more now than their files. */
  readonly ahead: readonly string[];
  /** Steps that led to `whole`, for undoing them. */
  readonly steps: readonly JournalStep[];
  /** The number of the last one; null = the journal does not lead here. */
  readonly count: number | null;
  /** Steps that are not in the files and could not be put back. */
  readonly lost: number;
  /** Files that hold more than the journal tells of, though every step of it is in them: it was cut. */
  readonly beyond: readonly string[];
  /** The journal is there and holds nothing. */
  readonly empty: boolean;
  /** Steps that were put back. */
  readonly putBack: number;
}

/**
 * What the files hold, with the steps of the journal that had not been written when the program ended. A file that
 * the journal does not know was changed by somebody else: its steps are not forced on it.
 */
export function recover(
  read: Pick<ReadStudy, "whole" | "held" | "copies">,
  { entries, damaged, empty }: ReadJournal,
): Recovered {
  const numbered = stepsOf(entries);
  const documents = new Set(numbered.flatMap(({ step }) => step.changes.map((c) => c.document)));
  /** After how many steps the file held what it holds now; documents that somebody else changed are not in it. */
  const reached = new Map<string, number>();
  for (const document of documents) {
    const held = read.copies[document] ?? read.held[document] ?? null;
    const n = stepsIn(entries, document, held);
    if (n !== null) reached.set(document, n);
  }
  const foreign = [...documents].filter((document) => !reached.has(document));
  let lost = numbered.filter(({ n, step }) =>
    step.changes.some((c) => !reached.has(c.document) && n > lastWritten(entries, c.document)),
  ).length;

  let { whole } = read;
  let putBack = 0;
  const ahead = new Set<string>();
  for (const { n, step } of numbered) {
    const missing = step.changes.filter(({ document }) => n > (reached.get(document) ?? Infinity));
    if (missing.length === 0) continue;
    try {
      whole = withCheckedChanges(whole, missing);
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      lost += (numbered.at(-1)?.n ?? n) - n + 1;
      break;
    }
    for (const { document } of missing) ahead.add(document);
    putBack += 1;
  }
  if (damaged) lost += 1;
  const beyond = lost > 0 ? [] : foreign;
  const found = { whole, ahead: [...ahead], putBack, lost, beyond, empty };
  return lost > 0 || empty || foreign.length > 0 || numbered.length === 0
    ? { ...found, steps: [], count: null }
    : { ...found, steps: numbered.map(({ step }) => step), count: numbered.at(-1)?.n ?? 0 };
}

/** After how many steps a document was last written. */
function lastWritten(entries: readonly Entry[], document: string): number {
  const last = entries.findLast((e) => "base" in e || ("writing" in e && e.writing === document));
  return last?.n ?? 0;
}
