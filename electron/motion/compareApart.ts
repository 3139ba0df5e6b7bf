import { MeasureError } from "../../src/errors.ts";
import type { NotAlike, TurnBetween } from "../../src/motion/compareClips.ts";
import type { Compared, Pictures } from "./comparing.ts";
import { startMotionChild } from "./startMotionChild.ts";

/**
 * Compares two clips' backgrounds in a process of its own at the lowest priority, so that neither stepping nor saving waits for it.
 *
 * @throws {MeasureError} `cancelled` by its signal; `comparing-ended`, and whatever comparing ends with
 */
export async function compareApart(pictures: Pictures, signal: AbortSignal): Promise<TurnBetween | NotAlike> {
  if (signal.aborted) throw cancelled();
  const child = startMotionChild();
  const end = () => child.kill();
  signal.addEventListener("abort", end);
  try {
    const answer = await new Promise<Compared | null>((resolve, reject) => {
      child.on("message", (message) => resolve(message as Compared));
      child.on("error", reject);
      child.on("exit", () => resolve(null));
      child.send(pictures);
    });
    if (signal.aborted) throw cancelled();
    if (!answer)
      throw new MeasureError(
        "comparing-ended",
        "the process that compares clips ended",
        "Comparing the clips ended unexpectedly. Try again, or press two or three ice points on this clip.",
      );
    if (answer.kind === "failed") throw new MeasureError(answer.code, answer.words, answer.coach);
    return answer.found;
  } finally {
    signal.removeEventListener("abort", end);
    child.kill();
  }
}

function cancelled(): MeasureError {
  return new MeasureError("cancelled", "comparing was stopped", "Stopped. Nothing was changed.");
}
