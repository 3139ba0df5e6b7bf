import { MeasureError } from "../errors.ts";

/**
 * One difference between two states of a plain JSON document. `path` leads to a field (or, with `at`, to a list);
 * an empty path is the document itself, whose absence is written as null.
 */
export type Change =
  | { readonly path: Path; readonly value: unknown }
  | { readonly path: Path; readonly remove: true }
  | { readonly path: Path; readonly at: number; readonly out: number; readonly in: readonly unknown[] };

type Path = readonly (string | number)[];

/** Changes that turn `before` into `after`, both plain JSON. Small for a small change, whatever the document's size. */
export function changesBetween(before: unknown, after: unknown, path: Path = []): Change[] {
  if (same(before, after)) return [];
  if (Array.isArray(before) && Array.isArray(after)) return listChanges(before, after, path);
  if (!isFields(before) || !isFields(after)) return [{ path, value: after === undefined ? null : after }];
  return [...new Set([...Object.keys(before), ...Object.keys(after)])].flatMap((key): Change[] => {
    const here = [...path, key];
    if (after[key] === undefined) return before[key] === undefined ? [] : [{ path: here, remove: true }];
    if (before[key] === undefined) return [{ path: here, value: after[key] }];
    return changesBetween(before[key], after[key], here);
  });
}

/** A list is changed in one run: what stands before and after it stays. */
function listChanges(before: readonly unknown[], after: readonly unknown[], path: Path): Change[] {
  const least = Math.min(before.length, after.length);
  let head = 0;
  while (head < least && same(before[head], after[head])) head++;
  let tail = 0;
  while (tail < least - head && same(before[before.length - 1 - tail], after[after.length - 1 - tail]))
    tail++;
  const out = before.length - head - tail;
  const put = after.slice(head, after.length - tail);
  if (out === 1 && put.length === 1 && isFields(before[head]) && isFields(put[0]))
    return changesBetween(before[head], put[0], [...path, head]);
  return [{ path, at: head, out, in: put }];
}

/**
 * The document after the changes; the one given stays as it is, and what did not change is shared.
 *
 * @throws {MeasureError} `changes-do-not-fit` when a path leads nowhere
 */
export function applyChanges(document: unknown, changes: readonly Change[]): unknown {
  return changes.reduce((now, change) => at(now, change.path, change), document);
}

function at(value: unknown, path: Path, change: Change): unknown {
  const [key, ...rest] = path;
  if (key === undefined) return changed(value, change);
  if (Array.isArray(value) && typeof key === "number" && key >= 0 && key < value.length)
    return value.with(key, at(value[key], rest, change));
  if (!isFields(value) || typeof key !== "string" || key === "__proto__") throw doesNotFit(change);
  if (rest.length === 0 && "remove" in change) {
    const { [key]: _, ...others } = value;
    return others;
  }
  if (rest.length > 0 && !Object.hasOwn(value, key)) throw doesNotFit(change);
  return { ...value, [key]: at(value[key], rest, change) };
}

function changed(value: unknown, change: Change): unknown {
  if ("value" in change) return change.value;
  if ("at" in change && Array.isArray(value) && change.at + change.out <= value.length)
    return value.toSpliced(change.at, change.out, ...change.in);
  throw doesNotFit(change);
}

function doesNotFit(change: Change): MeasureError {
  return new MeasureError(
    "changes-do-not-fit",
    `applyChanges finds nothing at ${change.path.join(".")}`,
    "A step of the journal does not fit the file it belongs to.",
  );
}

/** Equal as JSON; the same object is equal at once, which is what makes small changes cheap to find. */
function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (Array.isArray(a) && Array.isArray(b)) return a.length === b.length && a.every((x, i) => same(x, b[i]));
  if (!isFields(a) || !isFields(b)) return false;
  return [...Object.keys(a), ...Object.keys(b)].every((key) => same(a[key], b[key]));
}

function isFields(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
