import { MeasureError } from "../../src/errors.ts";
import type { NotAlike, TurnBetween } from "../../src/motion/compareClips.ts";
import { askApart } from "./askApart.ts";
import type { Pictures } from "./comparing.ts";

/**
 * Compares two clips' backgrounds in a process of its own.
 *
 * @throws {MeasureError} `cancelled` by its signal; `comparing-ended`, and whatever comparing ends with
 */
export function compareApart(pictures: Pictures, signal: AbortSignal): Promise<TurnBetween | NotAlike> {
  return askApart(pictures, signal, {
    stopped: () => new MeasureError("cancelled", "comparing was stopped", "Stopped. Nothing was changed."),
    ended: () =>
      new MeasureError(
        "comparing-ended",
        "the process that compares clips ended",
        "Comparing the clips ended unexpectedly. Try again, or press two or three ice points on this clip.",
      ),
  });
}
