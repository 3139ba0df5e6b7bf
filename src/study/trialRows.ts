import { csvFormatRow, csvParseRows } from "d3-dsv";
import { MeasureError } from "../errors.ts";
import { lineOfBadQuote } from "./csv.ts";

/**
 * One trial's rows of a table that may hold several, told apart by a column `trial`. Other rows become blank lines,
 * so that what is wrong is still told by its line. A table without that column is left as it is.
 *
 * @param trial null = not said: then the table must hold one trial only
 * @param by the column's name: `view` in tables of further views
 * @param option how somebody says which is meant
 * @throws {MeasureError} `several-trials`, `no-such-trial`
 */
export function rowsOfTrial(text: string, trial: string | null, by = "trial", option = "--trial"): string {
  const content = text.replace(/^\uFEFF/, "");
  // Left for the table's reader to complain about: split here it would lose text unnoticed.
  if (lineOfBadQuote(content) !== null) return text;
  const rows = csvParseRows(content);
  const column = columnOf(rows, by);
  if (column < 0) return text;
  const trials = trialsOf(rows, column);
  const wanted = trial ?? (trials.length === 1 ? trials[0] : undefined);
  const list = trials.join(", ");
  if (wanted === undefined || !trials.includes(wanted)) {
    if (trials.length === 0) return text;
    throw trial === null
      ? new MeasureError(
          "several-trials",
          `rowsOfTrial needs to know which of ${trials.length} trials`,
          `This table holds ${trials.length} trials. Say which one is meant: ${option} with one of ${list}.`,
          { trials },
        )
      : new MeasureError(
          "no-such-trial",
          `rowsOfTrial finds no trial ${trial}`,
          `This table holds no trial "${trial}". It holds ${list}.`,
          { trials },
        );
  }
  const lines = (row: readonly string[]) =>
    row.reduce((sum, cell) => sum + (cell.match(/\r\n|\r|\n/g)?.length ?? 0), 0);
  return rows
    .map((row, k) =>
      k === 0 || row[column]?.trim() === wanted ? csvFormatRow(row) : "\r\n".repeat(lines(row)),
    )
    .join("\r\n");
}

/** The trials of a table with a column `trial` (or another), in the order they come; none where it has no such column. */
export function trialsIn(text: string, by = "trial"): string[] {
  const rows = csvParseRows(text.replace(/^\uFEFF/, ""));
  const column = columnOf(rows, by);
  return column < 0 ? [] : trialsOf(rows, column);
}

function columnOf(rows: readonly (readonly string[])[], by: string): number {
  return rows[0]?.findIndex((name) => name.trim() === by) ?? -1;
}

function trialsOf(rows: readonly (readonly string[])[], column: number): string[] {
  return [...new Set(rows.slice(1).flatMap((row) => row[column]?.trim() || []))];
}
