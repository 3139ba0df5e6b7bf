import { useEffect, useState } from "react";
import type { Reach } from "../../../../src/study/exchange.ts";
import { onlySilent } from "../../../shell/onlySilent.ts";
import { isReady, readyRanges } from "../../../store/clipFrames.ts";
import type { Measuring } from "./useMeasure.ts";

/** While one moves on, the host is not sent after every frame passed over. */
const SETTLED_MS = 100;

/**
 * Tells the host which frame is looked at, a moment after one came to a frame that is not ready.
 *
 * @returns how that frame will come; null while it is there or nothing is known
 */
export function useWantFrame(
  { clips, trial, index }: Pick<Measuring, "clips" | "trial" | "index">,
  frame: number,
): Reach | null {
  const [answer, setAnswer] = useState<{ readonly frame: number; readonly reach: Reach } | null>(null);
  const clip = trial.clip;
  const ready = index !== null && index.clip === clip && isReady(readyRanges(index), frame);
  const coming = !ready && (index?.state === "preparing" || index?.state === "waiting");

  useEffect(() => {
    if (clip === undefined || ready) return;
    const timer = setTimeout(async () => {
      const reach = await clips.want(clip, frame).catch(onlySilent);
      if (reach !== undefined) setAnswer({ frame, reach });
    }, SETTLED_MS);
    return () => clearTimeout(timer);
  }, [clips, clip, frame, ready]);

  useEffect(() => {
    if (clip === undefined || !coming) return;
    clips.await(clip, frame);
    return () => clips.await(clip, null);
  }, [clips, clip, frame, coming]);

  return !ready && answer?.frame === frame ? answer.reach : null;
}
