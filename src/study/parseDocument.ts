import type { z } from "zod";
import { MeasureError } from "../errors.ts";
import { LEVELS, tooDeep } from "./nesting.ts";

/** What kind of file is read: its `format` field, our newest version of it, and how the coach knows it. */
export interface DocumentKind {
  readonly format: string;
  readonly version: number;
  /** "study", "marks file" */
  readonly words: string;
}

/** Problems named in one message; more would not help anybody. */
const SHOWN = 5;

const DEEP = `it is nested more than ${LEVELS} levels deep`;

/**
 * Checks plain JSON data against a schema.
 *
 * @throws {MeasureError} `not-this-format`, `newer-version`, `damaged-document` (data.problems: path and what is wrong)
 */
export function parseDocument<S extends z.ZodType>(json: unknown, kind: DocumentKind, schema: S): z.infer<S> {
  const deep = tooDeep(json);
  if (deep) throw damaged(kind, [{ path: deep.slice(0, 3).join("."), problem: DEEP }]);
  const head = typeof json === "object" && json !== null ? (json as Record<string, unknown>) : {};
  if (head.format !== kind.format) {
    throw new MeasureError(
      "not-this-format",
      `parseDocument needs format "${kind.format}", got ${JSON.stringify(head.format)}`,
      `This is not a Blademark ${kind.words}: its "format" should be "${kind.format}". Choose another file.`,
      { format: head.format },
    );
  }
  if (typeof head.version === "number" && head.version > kind.version) {
    throw new MeasureError(
      "newer-version",
      `parseDocument reads ${kind.format} up to version ${kind.version}, got version ${head.version}`,
      `This ${kind.words} was written by a newer Blademark (version ${head.version} of the file, this one knows ${kind.version}). Open it with that one; nothing here has been changed.`,
      { version: head.version, known: kind.version },
    );
  }
  const result = schema.safeParse(json);
  if (result.success) return result.data;
  throw damaged(
    kind,
    result.error.issues.map((issue) => ({ path: pathText(issue.path), problem: plain(issue.message) })),
  );
}

export interface Problem {
  /** "trials[3].time" */
  readonly path: string;
  readonly problem: string;
}

/** The error for a document that is ours but holds something impossible. */
export function damaged(kind: DocumentKind, problems: readonly Problem[]): MeasureError {
  const list = problems.slice(0, SHOWN).map((p) => `${p.path}: ${p.problem}`);
  const more = problems.length > SHOWN ? `; and ${problems.length - SHOWN} more` : "";
  return new MeasureError(
    "damaged-document",
    `${kind.format}: ${list.join("; ")}${more}`,
    `This ${kind.words} can't be read: ${list.join("; ")}${more}. Put that right in the file, or open its last good copy.`,
    { problems },
  );
}

/** `trials[3].time`, as a person finds it in the file. */
export function pathText(path: readonly PropertyKey[]): string {
  const text = path.reduce<string>(
    (all, key) =>
      typeof key === "number" ? `${all}[${key}]` : all === "" ? String(key) : `${all}.${String(key)}`,
    "",
  );
  return text || "the file";
}

/** zod's "Invalid input: expected number, received string" as "expected number, received string". */
function plain(message: string): string {
  return message.replace(/^Invalid (input|option): /, "");
}
