/** A table as it is written out: what each column holds, and its rows. */
export type Cell = string | number | boolean | null | undefined;

export interface Column {
  readonly name: string;
  readonly type: "string" | "integer" | "number" | "boolean";
  readonly what: string;
  /** As printed: "m", "s", "px", "°"; absent = it has none. */
  readonly unit?: string;
  readonly required?: true;
  readonly choices?: readonly string[];
}

export interface Table {
  /** Also the file's name, without .csv. */
  readonly name: string;
  readonly title: string;
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly Cell[])[];
  readonly key?: readonly string[];
  /** Columns whose text is the key of a row of another table. */
  readonly refersTo?: readonly { readonly column: string; readonly table: string; readonly key: string }[];
}

export const text = (name: string, what: string, more: Partial<Column> = {}): Column => ({
  name,
  type: "string",
  what,
  ...more,
});

export const whole = (name: string, what: string, more: Partial<Column> = {}): Column => ({
  name,
  type: "integer",
  what,
  ...more,
});

/** @param unit "" for a number without one */
export const number = (name: string, what: string, unit: string, more: Partial<Column> = {}): Column => ({
  name,
  type: "number",
  what,
  ...(unit !== "" && { unit }),
  ...more,
});

export const yesNo = (name: string, what: string): Column => ({ name, type: "boolean", what });
