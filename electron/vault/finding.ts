/** Something about a study folder that a person should know. */
export interface Finding {
  readonly code: string;
  /** Path inside the study, forward slashes. */
  readonly where: string;
  readonly text: string;
  /** A note is no problem; "repairable" can be put right by `--repair`. */
  readonly kind: "note" | "problem" | "repairable";
}

export const note = (code: string, where: string, text: string): Finding => ({
  code,
  where,
  text,
  kind: "note",
});

export const problem = (code: string, where: string, text: string): Finding => ({
  code,
  where,
  text,
  kind: "problem",
});

export const fixable = (code: string, where: string, text: string): Finding => ({
  code,
  where,
  text,
  kind: "repairable",
});
