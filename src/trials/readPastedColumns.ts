import { tsvParseRows } from "d3-dsv";
import { listed } from "../compare/numbers.ts";
import { type BadRow, badTable, readPastedTable, type TimeRow } from "../study/tables.ts";
import type { Study } from "../study/types.ts";
import { skaterOf, techniqueOf } from "./named.ts";
import { headOf, type PastedColumn } from "./pastedHeads.ts";
import { readTime } from "./readTime.ts";

type Places = Partial<Record<PastedColumn, number>>;
interface Line {
  readonly line: number;
  readonly cells: readonly string[];
}

const TABLE = "The pasted table";

/**
 * Times pasted with other columns beside them, as from a timing sheet: under headings of their own or without any, then
 * told apart by what stands in them. Each row is found in the run order; what is not said (number, repeat) comes from there.
 *
 * @throws {MeasureError} `bad-table`: every row that is no time or no trial, or which column cannot be told
 */
export function readPastedColumns(text: string, study: Study): TimeRow[] {
  const lines = tsvParseRows(text)
    .map((cells, i) => ({ line: i + 1, cells: cells.map((cell) => cell.trim()) }))
    .filter(({ cells }) => cells.some((cell) => cell !== ""));
  const [first, ...rest] = lines;
  if (!first) throw badTable(TABLE, [{ line: 1, reason: "there is nothing in it" }]);
  if (["skater", "technique", "repeat", "order", "time_s"].every((name) => first.cells.includes(name)))
    return readPastedTable(text);
  const named = byHeads(first.cells);
  const body = named ? rest : lines;
  const places = named ?? byContent(lines, study);
  if (places.time === undefined)
    throw unclear(first.line, "no one column holds times in seconds; name it “time” in a first row");
  return found(body, places, study);
}

/** Where the columns are by a first row of headings; null when it is none. */
function byHeads(cells: readonly string[]): Places | null {
  const heads = cells.map(headOf);
  if (!heads.includes("time")) return null;
  const twice = heads.find((head, i) => head !== null && heads.indexOf(head) !== i);
  if (twice) throw unclear(1, `the heading “${twice}” is there twice`);
  return Object.fromEntries(heads.flatMap((head, i) => (head ? [[head, i]] : [])));
}

/** Where the columns are by what stands in them. */
function byContent(lines: readonly Line[], study: Study): Places {
  const width = Math.max(...lines.map(({ cells }) => cells.length));
  const all = (i: number, is: (cell: string) => boolean) => {
    const cells = lines.map(({ cells }) => cells[i] ?? "").filter((cell) => cell !== "");
    return cells.length > 0 && cells.every(is);
  };
  const columns = (is: (cell: string) => boolean) =>
    Array.from({ length: width }, (_, i) => i).filter((i) => all(i, is));
  const one = (found: readonly number[]) => (found.length === 1 ? found[0] : undefined);
  const skater = one(columns((cell) => skaterOf(study.skaters, cell) !== undefined));
  const technique = one(columns((cell) => techniqueOf(study.techniques, cell) !== undefined));
  const time = one(columns((cell) => /[.,]/.test(cell) && isTime(cell)));
  const places: Places = {
    ...(skater !== undefined && { skater }),
    ...(technique !== undefined && { technique }),
    ...(time !== undefined && { time }),
  };
  // A column of whole numbers is what makes every row a trial of the run order.
  const whole = columns((cell) => /^\d+$/.test(cell));
  const fits = (["order", "repeat"] as const).flatMap((column) =>
    whole
      .map((i): Places => ({ ...places, [column]: i }))
      .filter((so) => lines.every(({ cells }) => candidates(so, cells, study).length === 1)),
  );
  const [fit, other] = fits;
  if (!fit) return places;
  const same = (line: Line) =>
    candidates(fit, line.cells, study)[0] === candidates(other ?? fit, line.cells, study)[0];
  if (!lines.every(same))
    throw unclear(1, "it does not say which column is the trial; name them in a first row");
  return fit;
}

function found(lines: readonly Line[], places: Places, study: Study): TimeRow[] {
  const bad: BadRow[] = [];
  const rows: TimeRow[] = [];
  const taken = new Map<string, number>();
  for (const { line, cells } of lines) {
    const text = cells[places.time!] ?? "";
    if (!isTime(text) && text !== "") {
      bad.push({ line, reason: `"${text.slice(0, 30)}" is not a time in seconds` });
      continue;
    }
    const fitting = candidates(places, cells, study);
    // Without a number of its own a row is the next of its kind.
    const trial = fitting.find((t) => !taken.has(t.id));
    const numbered = places.order !== undefined || places.repeat !== undefined;
    const named = places.skater !== undefined && places.technique !== undefined;
    if (!trial || (!numbered && !named) || (numbered && fitting.length > 1)) {
      const before = trial ? [] : fitting.map((t) => taken.get(t.id));
      bad.push({ line, reason: `${cells.join(" ").trim()}: ${whyNone(before)}` });
      continue;
    }
    taken.set(trial.id, line);
    const note = places.note === undefined ? "" : (cells[places.note] ?? "");
    rows.push({
      line,
      skater: trial.skater,
      technique: trial.technique,
      repeat: trial.repeat,
      order: trial.order,
      time: readTime(text),
      valid: trial.valid,
      ...(note !== "" && { note }),
    });
  }
  if (bad.length > 0) throw badTable(TABLE, bad);
  return rows;
}

/** @param before lines that have the trials it could be */
function whyNone(before: readonly (number | undefined)[]): string {
  if (before.length === 0) return "no one trial of the run order is that";
  if (before.length === 1) return `is the same trial as line ${before[0]}`;
  return `the run order has ${before.length} trials of that, and lines ${listed(before.map(String))} are these`;
}

/** The trials that a row may be, in run order. */
function candidates(places: Places, cells: readonly string[], study: Study): Study["trials"][number][] {
  const cell = (column: PastedColumn) => {
    const at = places[column];
    return at === undefined ? undefined : (cells[at] ?? "");
  };
  const [skater, technique] = [cell("skater"), cell("technique")];
  const [order, repeat] = [cell("order"), cell("repeat")];
  return study.trials
    .filter(
      (t) =>
        (skater === undefined || t.skater === skaterOf(study.skaters, skater)?.id) &&
        (technique === undefined || t.technique === techniqueOf(study.techniques, technique)?.id) &&
        (order === undefined || t.order === Number(order)) &&
        (repeat === undefined || t.repeat === Number(repeat)),
    )
    .sort((a, b) => a.order - b.order);
}

function isTime(text: string): boolean {
  try {
    return readTime(text) !== null;
  } catch {
    return false;
  }
}

function unclear(line: number, reason: string) {
  return badTable(TABLE, [{ line, reason }]);
}
