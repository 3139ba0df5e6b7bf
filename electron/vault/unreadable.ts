import { MeasureError } from "../../src/errors.ts";

/** What is there and cannot be read: never taken for something that is not there, which could be written anew. */
export function unreadable(path: string, error: unknown): unknown {
  const { code } = error as NodeJS.ErrnoException;
  // ERR_... are mistakes of ours and stay loud.
  if (error instanceof MeasureError || !code || code.startsWith("ERR_")) return error;
  return new MeasureError(
    "unreadable",
    `cannot read ${path}: ${code}`,
    `${path} cannot be read (${code}). Check that you may read it and that the disk is there.`,
  );
}
