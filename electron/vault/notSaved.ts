import { MeasureError } from "../../src/errors.ts";
import { REFUSED } from "../disk/plainFiles.ts";

/** What the disk said, in words for the coach. Anything that is no answer of the disk stays what it is. */
export function notSaved(folder: string, error: unknown): unknown {
  const { code } = error as NodeJS.ErrnoException;
  if (!code) return error;
  if (error instanceof MeasureError)
    return REFUSED.has(error.code)
      ? new MeasureError(
          "not-saved",
          error.message,
          `Not saved. ${error.coach} What you did is kept in the window until then.`,
        )
      : error;
  return new MeasureError(
    "not-saved",
    `writing into ${folder} failed: ${(error as Error).message}`,
    code === "ENOSPC"
      ? "Not saved: the disk is full. Free some space; what you did is kept in the window and saved then."
      : `Not saved: the study folder cannot be written (${code}). What you did is kept in the window until it can be.`,
  );
}

/** Why a study that may not be written is shown for reading only. */
export function readingOnly(error: unknown): string {
  if (error instanceof MeasureError) return `${error.coach} Until then the study is open for reading only.`;
  const { code = "unknown" } = error as NodeJS.ErrnoException;
  if (code === "ENOSPC")
    return "The disk with this study is full, so it is open for reading only. Free some space and open it again.";
  return `This study's folder may not be written (${code}), so it is open for reading only. Copy it to a place of your own to change it.`;
}
