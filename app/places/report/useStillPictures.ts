import { useEffect, useState } from "react";
import type { StillPlan } from "../../../src/report/still/planStill.ts";
import { type StillPicture, stillKey } from "../../../src/report/still/stillSvg.ts";
import { type Shell, ShellError } from "../../shell/Shell.ts";
import { asData } from "../shared/asData.ts";

const ASK_AGAIN_MS = 1000;

/**
 * The frames of a report's stills, by `stillKey`, as they become ready. Nothing is moved forward in the queue for them: a
 * still whose frame is not prepared yet is drawn without it meanwhile.
 */
export function useStillPictures(
  stills: readonly StillPlan[],
  shell: Shell,
): ReadonlyMap<string, StillPicture> {
  const [pictures, setPictures] = useState<ReadonlyMap<string, StillPicture>>(new Map());
  useEffect(() => {
    let stopped = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const had = new Set<string>();
    const ask = async () => {
      for (const still of stills) {
        if (stopped) return;
        const key = stillKey(still);
        if (had.has(key) || still.clip === null) continue;
        const picture = await readyPicture(still, still.clip, shell);
        if (picture === "later") continue;
        had.add(key);
        if (picture && !stopped) setPictures((now) => new Map(now).set(key, picture));
      }
      if (!stopped && stills.some((s) => s.clip !== null && !had.has(stillKey(s))))
        timer = setTimeout(ask, ASK_AGAIN_MS);
    };
    setPictures(new Map());
    void ask();
    return () => {
      stopped = true;
      clearTimeout(timer);
    };
  }, [stills, shell]);
  return pictures;
}

/** Null: it will never come. As data, so that the page can be kept as one file. */
async function readyPicture(
  still: StillPlan,
  clip: string,
  shell: Shell,
): Promise<StillPicture | "later" | null> {
  try {
    const index = await shell.clipIndex(clip);
    const there =
      still.frame < index.ready ||
      index.ahead.some(({ from, times }) => still.frame >= from && still.frame < from + times.length);
    if (!there) return index.state === "failed" || index.state === "ready" ? null : "later";
    const answer = await fetch(shell.frameUrl(clip, still.frame));
    if (!answer.ok) return "later";
    const { width, height } = still.picture;
    return { href: await asData(await answer.blob()), at: { x: 0, y: 0, width, height } };
  } catch (error) {
    if (error instanceof ShellError) return null;
    throw error;
  }
}
