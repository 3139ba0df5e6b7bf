import type { MeasureInput } from "../../../src/kinematics/types.ts";
import type { Conditions, FilmedTrial } from "../film.ts";
import type { Placement } from "../placements.ts";
import type { Dice } from "../random.ts";

/**
 * A family of mistakes a person can make. Each is a row of `npm run validate -- --blunders`, which says in what share of
 * trials it is told, refused, or passes unseen. A new family: export it from a file in this folder, one line in `families.ts`.
 */
export interface Blunder {
  /** What went wrong, in a coach's words; with how much of it. */
  readonly name: string;
  /** Why what passes unseen must, and what it costs; "none should" where nothing must. */
  readonly unseen: string;
  /** It is no mistake: whoever is told or refused for it hears a false alarm. */
  readonly harmless?: boolean;
  /** How its trials are filmed where not in the ordinary way. */
  readonly conditions?: Partial<Conditions>;
  /** Placements it makes sense for; all of the table's where not said. */
  readonly where?: (placement: Placement) => boolean;
  /** The tables, body lengths or lens as the person hands them in; null where this trial gives no chance for the mistake. */
  readonly spoil: (film: FilmedTrial, d: Dice) => FilmedTrial | null;
  /** What of the mistake stands in no table (a camera checked again, a factor of speed). */
  readonly input?: (input: MeasureInput, film: FilmedTrial, d: Dice) => MeasureInput;
}

/** A row of a table, by its column's name. */
export type Row = Readonly<Record<string, string>>;

/** Rows of one of the trial's tables (no quotes in them: they come from `sheets.ts`). */
export function rowsOf(table: string): Row[] {
  const [head, ...lines] = table.trimEnd().split("\n");
  const columns = head!.split(",");
  return lines.map((line) => {
    const cells = line.split(",");
    return Object.fromEntries(columns.map((name, k) => [name, cells[k]!]));
  });
}

/** The trial with one of its tables edited row by row; null leaves the row out. */
export function edited(
  film: FilmedTrial,
  which: keyof FilmedTrial["tables"],
  edit: (row: Row, at: number) => Row | null,
): FilmedTrial {
  const columns = film.tables[which].slice(0, film.tables[which].indexOf("\n")).split(",");
  const rows = rowsOf(film.tables[which]).map(edit);
  const lines = rows.filter((row) => row !== null).map((row) => columns.map((name) => row[name]).join(","));
  return { ...film, tables: { ...film.tables, [which]: `${columns.join(",")}\n${lines.join("\n")}\n` } };
}

/** The row with a number moved. */
export const moved = (row: Row, column: string, by: number): Row => ({
  ...row,
  [column]: String(Number(row[column]) + by),
});

/** One of several, by chance. */
export function oneOf<T>(d: Dice, list: readonly T[]): T {
  return list[Math.min(list.length - 1, Math.floor(d.even(0, list.length)))]!;
}
