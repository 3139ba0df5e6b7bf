/**
 * Comma separated tables (RFC 4180) in and out. Splitting and quoting is d3-dsv's; this adds what it leaves
 * out: columns by name in any order, errors by line number, and text that a spreadsheet would run as a formula.
 */
import { csvFormatRow, csvParseRows } from "d3-dsv";
import { MeasureError } from "../errors.ts";

export interface BadRow {
  /** Line of the file, the first is 1. */
  readonly line: number;
  readonly reason: string;
}

export interface Columns {
  /** How the coach knows the table: "times.csv" */
  readonly table: string;
  readonly required: readonly string[];
  readonly optional: readonly string[];
}

/** One row, asked for by column. What is wrong with it is collected; the value returned then is a placeholder. */
export class Row {
  readonly line: number;
  readonly problems: string[] = [];
  private readonly cells: ReadonlyMap<string, string>;

  constructor(line: number, cells: ReadonlyMap<string, string>) {
    this.line = line;
    this.cells = cells;
  }

  wrong(reason: string): void {
    this.problems.push(reason);
  }

  /** Undefined when the cell is blank or there is no such column. */
  optionalText(column: string): string | undefined {
    return this.cells.get(column) || undefined;
  }

  text(column: string): string {
    const text = this.optionalText(column);
    if (text === undefined) this.wrong(`${column} is blank`);
    return text ?? "";
  }

  /** @param need what the number has to fulfil, and the words for it: "more than 0" */
  optionalNumber(column: string, need?: Need): number | undefined {
    const text = this.optionalText(column);
    if (text === undefined) return undefined;
    const value = readNumber(text);
    if (value === null) this.wrong(`${column} is "${short(text)}", ${whyNoNumber(text)}`);
    else if (need && !need.holds(value)) this.wrong(`${column} is ${text}; it must be ${need.words}`);
    return value ?? Number.NaN;
  }

  number(column: string, need?: Need): number {
    if (this.optionalText(column) === undefined) this.wrong(`${column} is blank`);
    return this.optionalNumber(column, need) ?? Number.NaN;
  }

  optionalChoice<T extends string>(column: string, choices: readonly T[]): T | undefined {
    const text = this.optionalText(column);
    if (text === undefined) return undefined;
    const found = choices.find((choice) => choice === text);
    if (!found) this.wrong(`${column} is "${short(text)}"; it must be one of ${choices.join(", ")}`);
    return found;
  }

  choice<T extends string>(column: string, choices: readonly T[]): T {
    if (this.optionalText(column) === undefined) this.wrong(`${column} is blank`);
    return this.optionalChoice(column, choices) ?? choices[0]!;
  }

  optionalYesNo(column: string): boolean | undefined {
    const text = this.optionalText(column)?.toLowerCase();
    if (text === undefined) return undefined;
    if (["yes", "true", "1"].includes(text)) return true;
    if (["no", "false", "0"].includes(text)) return false;
    this.wrong(`${column} is "${short(text)}"; it must be yes or no`);
    return undefined;
  }
}

export interface Need {
  readonly words: string;
  holds(value: number): boolean;
}

export const MORE_THAN_0: Need = { words: "more than 0", holds: (v) => v > 0 };
export const NOT_NEGATIVE: Need = { words: "0 or more", holds: (v) => v >= 0 };
export const WHOLE_FROM_0: Need = {
  words: "a whole number, 0 or more",
  holds: (v) => Number.isInteger(v) && v >= 0,
};
export const WHOLE_FROM_1: Need = {
  words: "a whole number, 1 or more",
  holds: (v) => Number.isInteger(v) && v >= 1,
};

/**
 * Reads a whole table or nothing of it.
 *
 * @throws {MeasureError} `bad-table`; data.rows holds every bad row, with its line and reason
 */
export function readTable<T>(text: string, columns: Columns, read: (row: Row) => T): T[] {
  const content = text.replace(/^\uFEFF/, "");
  if (content.includes("\0")) {
    const reason =
      "the file is not plain UTF-8 text (spreadsheets write UTF-16 as “Unicode text”); save it as CSV UTF-8";
    throw badTable(columns.table, [{ line: 1, reason }]);
  }
  const misquoted = lineOfBadQuote(content);
  if (misquoted !== null) {
    const reason =
      'a quote (") does not open or close a whole cell; inside a quoted cell a quote is written twice';
    throw badTable(columns.table, [{ line: misquoted, reason }]);
  }
  const lines = withLines(csvParseRows(content)).filter(({ cells }) =>
    cells.some((cell) => cell.trim() !== ""),
  );
  const [head, ...body] = lines;
  if (!head)
    throw badTable(columns.table, [{ line: 1, reason: "the table is empty; it needs a header row" }]);
  const names = head.cells.map((name) => name.trim());
  const headProblems = badHeader(names, columns);
  if (headProblems.length > 0) {
    throw badTable(
      columns.table,
      headProblems.map((reason) => ({ line: head.line, reason })),
    );
  }
  const bad: BadRow[] = [];
  const values: T[] = [];
  for (const { line, cells } of body) {
    const extra = cells.slice(names.length).some((cell) => cell.trim() !== "");
    if (cells.length < names.length || extra) {
      bad.push({ line, reason: `has ${cells.length} cells where the header has ${names.length}` });
      continue;
    }
    const row = new Row(line, new Map(names.map((name, i) => [name, unguard(cells[i]!.trim())])));
    const value = read(row);
    if (row.problems.length === 0) values.push(value);
    else bad.push(...row.problems.map((reason) => ({ line, reason })));
  }
  if (bad.length > 0) throw badTable(columns.table, bad);
  return values;
}

/** CRLF line ends, a header row, text guarded against being run as a formula. */
export function writeTable(
  header: readonly string[],
  rows: readonly (readonly (string | number | null | undefined)[])[],
): string {
  const cells = rows.map((row) =>
    row.map((cell) => (typeof cell === "string" ? guard(cell) : String(cell ?? ""))),
  );
  return [[...header], ...cells].map((row) => `${csvFormatRow(row)}\r\n`).join("");
}

/** One error for all bad rows of a table. */
export function badTable(table: string, rows: readonly BadRow[]): MeasureError {
  const sorted = rows.slice().sort((a, b) => a.line - b.line);
  const list = sorted.map((row) => `line ${row.line}: ${row.reason}`);
  const count = sorted.length === 1 ? "one problem" : `${sorted.length} problems`;
  return new MeasureError(
    "bad-table",
    `${table}: ${list.join("; ")}`,
    `${table} has ${count}, so nothing was read from it. ${list.map((l) => `${l.charAt(0).toUpperCase()}${l.slice(1)}.`).join(" ")}`,
    { table, rows: sorted },
  );
}

/** A number as a program writes it: decimal point, no units; null when it is anything else. */
export function readNumber(text: string): number | null {
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text) && Number.isFinite(Number(text))
    ? Number(text)
    : null;
}

function whyNoNumber(text: string): string {
  return /^[+-]?\d+,\d+$/.test(text)
    ? "which needs a decimal point instead of the comma"
    : "which is not a number";
}

function badHeader(names: readonly string[], { required, optional }: Columns): string[] {
  const known = [...required, ...optional];
  const missing = required.filter((name) => !names.includes(name));
  if (missing.length > 0 && names.length === 1 && /[;\t]/.test(names[0]!)) {
    return ["the columns are not separated by commas; save the table as comma separated values (CSV)"];
  }
  return [
    ...missing.map((name) => `the column ${name} is missing`),
    ...known
      .filter((name) => names.indexOf(name) !== names.lastIndexOf(name))
      .map((name) => `the column ${name} is there twice`),
  ];
}

/** Rows with the line each begins on; quoted cells may hold line breaks. */
function withLines(rows: readonly (readonly string[])[]): { line: number; cells: readonly string[] }[] {
  let line = 1;
  return rows.map((cells) => {
    const at = line;
    line += 1 + cells.reduce((sum, cell) => sum + (cell.match(/\r\n|\r|\n/g)?.length ?? 0), 0);
    return { line: at, cells };
  });
}

/** d3-dsv reads on after a misplaced quote and loses text; RFC 4180 has no such cell. Null when all is well. */
export function lineOfBadQuote(text: string): number | null {
  const cell = /(?:"[^"]*(?:""[^"]*)*"|[^",\r\n]*)(?:,|\r\n|\n|\r|$)/y;
  let at = 0;
  while (at < text.length) {
    cell.lastIndex = at;
    const found = cell.exec(text);
    if (!found) return text.slice(0, at).split(/\r\n|\r|\n/).length;
    at = cell.lastIndex;
  }
  return null;
}

/**
 * A spreadsheet runs text that begins with one of these as a formula (OWASP, "CSV Injection", which also names the
 * full-width forms that some language versions take); an apostrophe in front keeps it text.
 */
const FORMULA = "[=+\\-@\\t\\r\\n\uFF1D\uFF0B\uFF0D\uFF20]";
const STARTS_FORMULA = new RegExp(`^'*${FORMULA}`);
const GUARDED = new RegExp(`^'+${FORMULA}`);

function guard(text: string): string {
  return STARTS_FORMULA.test(text) ? `'${text}` : text;
}

function unguard(text: string): string {
  return GUARDED.test(text) ? text.slice(1) : text;
}

function short(text: string): string {
  return text.length > 24 ? `${text.slice(0, 24)}…` : text;
}
