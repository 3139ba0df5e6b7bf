import { MeasureError } from "../../src/errors.ts";
import type { LagFound } from "../../src/views/sound/soundLag.ts";
import { askApart } from "../motion/askApart.ts";
import type { ToListen } from "./listening.ts";

/**
 * Lays two clips' sound over each other in a process of its own.
 *
 * @throws {MeasureError} `cancelled` by its signal; `listening-ended`, and whatever listening ends with
 */
export function listenApart(tracks: Omit<ToListen, "kind">, signal: AbortSignal): Promise<LagFound> {
  return askApart({ kind: "listen", ...tracks } satisfies ToListen, signal, {
    stopped: () => new MeasureError("cancelled", "listening was stopped", "Stopped. Nothing was changed."),
    ended: () =>
      new MeasureError(
        "listening-ended",
        "the process that listens to clips ended",
        "Listening to the clips ended unexpectedly. Try again, or pick two events that both views show.",
      ),
  });
}
