import { MeasureError } from "../../src/errors.ts";
import type { LagFound } from "../../src/views/sound/soundLag.ts";
import { startMotionChild } from "../motion/startMotionChild.ts";
import type { Listened, ToListen } from "./listening.ts";

/**
 * Lays two clips' sound over each other in a process of its own at the lowest priority, so that neither stepping nor saving waits for it.
 *
 * @throws {MeasureError} `cancelled` by its signal; `listening-ended`, and whatever listening ends with
 */
export async function listenApart(tracks: Omit<ToListen, "kind">, signal: AbortSignal): Promise<LagFound> {
  if (signal.aborted) throw cancelled();
  const child = startMotionChild();
  const end = () => child.kill();
  signal.addEventListener("abort", end);
  try {
    const answer = await new Promise<Listened | null>((resolve, reject) => {
      child.on("message", (message) => resolve(message as Listened));
      child.on("error", reject);
      child.on("exit", () => resolve(null));
      child.send({ kind: "listen", ...tracks } satisfies ToListen);
    });
    if (signal.aborted) throw cancelled();
    if (!answer)
      throw new MeasureError(
        "listening-ended",
        "the process that listens to clips ended",
        "Listening to the clips ended unexpectedly. Try again, or pick two events that both views show.",
      );
    if (answer.kind === "failed") throw new MeasureError(answer.code, answer.words, answer.coach);
    return answer.found;
  } finally {
    signal.removeEventListener("abort", end);
    child.kill();
  }
}

function cancelled(): MeasureError {
  return new MeasureError("cancelled", "listening was stopped", "Stopped. Nothing was changed.");
}
