import { MeasureError } from "../../src/errors.ts";
import type { CameraMotion } from "../../src/motion/judgeMotion.ts";
import type { Picture } from "../../src/study/types.ts";
import type { Followed, ToFollow } from "./following.ts";
import { startMotionChild } from "./startMotionChild.ts";

/**
 * Follows one clip's background in a process of its own: frames as they are kept, in order, each taken before the next is given.
 *
 * @throws {MeasureError} each of them: `cancelled` by its signal; `following-ended`, and whatever following ends with
 */
export function followApart(signal: AbortSignal) {
  const child = startMotionChild();
  const stop = () => {
    signal.removeEventListener("abort", stop);
    child.kill();
  };
  signal.addEventListener("abort", stop);

  async function ask(message: ToFollow): Promise<Followed> {
    const answer = await new Promise<Followed | null>((resolve, reject) => {
      if (signal.aborted || !child.connected) return resolve(null);
      const heard = (said: unknown) => settle(said as Followed);
      const ended = () => settle(null);
      const settle = (said: Followed | null) => {
        child.off("message", heard).off("exit", ended).off("error", reject);
        resolve(said);
      };
      child.on("message", heard).on("exit", ended).on("error", reject);
      child.send(message);
    });
    if (signal.aborted)
      throw new MeasureError("cancelled", "following was stopped", "Stopped. Nothing was changed.");
    if (!answer)
      throw new MeasureError(
        "following-ended",
        "the process that follows the background ended",
        "Looking at the background ended unexpectedly. Try again, or mark two ice points on each frame with marks.",
      );
    if (answer.kind === "failed") throw new MeasureError(answer.code, answer.words, answer.coach);
    return answer;
  }

  return {
    async add(jpeg: Uint8Array | null): Promise<void> {
      await ask({ kind: "frame", jpeg });
    },
    async end(): Promise<{ readonly motion: CameraMotion; readonly size: Picture }> {
      const answer = await ask({ kind: "end" });
      if (answer.kind !== "followed") throw new Error(`the child answered ${answer.kind} at the end`);
      return answer;
    },
    stop,
  };
}
