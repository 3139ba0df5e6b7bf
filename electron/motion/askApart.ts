import { MeasureError } from "../../src/errors.ts";
import type { Failure } from "../failure.ts";
import { startMotionChild } from "./startMotionChild.ts";

/** What the process answers: what was found, or why it failed. */
type Answer<Found> = { readonly kind: string; readonly found: Found } | Failure;

/** What to say where there is no answer. */
interface Unanswered {
  /** Stopped by its signal. */
  stopped(): MeasureError;
  /** The process ended without a word. */
  ended(): MeasureError;
}

/**
 * Asks one thing of a process of its own at the lowest priority, so that neither stepping nor saving waits for it.
 *
 * @throws {MeasureError} as `unanswered` says, and whatever the asked work fails with
 */
export async function askApart<Found>(
  asked: object,
  signal: AbortSignal,
  unanswered: Unanswered,
): Promise<Found> {
  if (signal.aborted) throw unanswered.stopped();
  const child = startMotionChild();
  const end = () => child.kill();
  signal.addEventListener("abort", end);
  try {
    const answer = await new Promise<Answer<Found> | null>((resolve, reject) => {
      child.on("message", (message) => resolve(message as Answer<Found>));
      child.on("error", reject);
      child.on("exit", () => resolve(null));
      child.send(asked);
    });
    if (signal.aborted) throw unanswered.stopped();
    if (!answer) throw unanswered.ended();
    if ("coach" in answer) throw new MeasureError(answer.code, answer.words, answer.coach);
    return answer.found;
  } finally {
    signal.removeEventListener("abort", end);
    child.kill();
  }
}
