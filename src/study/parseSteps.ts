import { z } from "zod";
import { type DocumentChanges, documentOf, type JournalStep, MARKS_PREFIX, withChanges } from "./journal.ts";
import { tooDeep } from "./nesting.ts";
import { parseMarks } from "./parseMarks.ts";
import { parseStudy } from "./parseStudy.ts";
import { PLACES } from "./places.ts";
import type { WholeStudy } from "./types.ts";

const path = z.array(z.union([z.string().max(200), z.number().int().nonnegative()])).max(20);
const change = z.union([
  z.strictObject({ path, value: z.json() }),
  z.strictObject({ path, remove: z.literal(true) }),
  z.strictObject({
    path,
    at: z.number().int().nonnegative(),
    out: z.number().int().nonnegative(),
    in: z.array(z.json()),
  }),
]);

/** Steps as they come in a request or stand in a journal. */
export const journalStep: z.ZodType<JournalStep> = z.strictObject({
  id: z.string().max(64).optional(),
  kind: z.enum(["do", "undo", "redo"]),
  label: z.string().max(500),
  trial: z.string().nullable(),
  frame: z.number().int().nonnegative(),
  place: z.enum(PLACES).optional(),
  changes: z.array(
    z.strictObject({ document: z.string().max(100), forth: z.array(change), back: z.array(change) }),
  ),
});

/**
 * The study after some changes, each document that they touch checked as if it had been read from its file.
 *
 * @throws {MeasureError} `changes-do-not-fit`, or what parseStudy and parseMarks refuse
 */
export function withCheckedChanges(whole: WholeStudy, changes: readonly DocumentChanges[]): WholeStudy {
  const next = withChanges(whole, changes, "forth");
  let { study } = next;
  const marks = { ...next.marks };
  for (const document of new Set(changes.map((c) => c.document))) {
    const id = document.slice(MARKS_PREFIX.length);
    if (document === "study") study = parseStudy(study);
    else if (documentOf(next, document) !== undefined) marks[id] = parseMarks(marks[id]);
  }
  return { study, marks };
}

/** Steps as a browser kept them; what is no step is left out. */
export function readSteps(json: readonly unknown[]): JournalStep[] {
  return json.flatMap((one) => (tooDeep(one) ? [] : (journalStep.safeParse(one).data ?? [])));
}
