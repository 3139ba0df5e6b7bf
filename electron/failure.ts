import { MeasureError } from "../src/errors.ts";

/** What a process of its own tells its host when its work failed. */
export interface Failure {
  readonly kind: "failed";
  /** `bug` where it is no error on purpose. */
  readonly code: string;
  readonly words: string;
  readonly coach: string;
}

/** @param byMistake what a person reads where it is a bug */
export function failure(error: unknown, byMistake: string): Failure {
  const known = error instanceof MeasureError ? error : null;
  return {
    kind: "failed",
    code: known?.code ?? "bug",
    words: error instanceof Error ? (error.stack ?? error.message) : String(error),
    coach: known?.coach ?? byMistake,
  };
}
