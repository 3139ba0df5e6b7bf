import { useEffect, useMemo } from "react";
import { clipsOf } from "../../../src/study/trialViews.ts";
import type { Study } from "../../../src/study/types.ts";
import type { Shell } from "../../shell/Shell.ts";
import { type ClipWatch, startClipWatch } from "../../store/clips.ts";

/** How far each clip of the run order is prepared, as long as somebody looks. */
export function useClipWatch(shell: Shell, study: Study): ClipWatch {
  const clips = useMemo(() => startClipWatch(shell), [shell]);
  useEffect(() => () => clips.stop(), [clips]);
  const linked = study.trials.flatMap(clipsOf).sort().join("\n");
  useEffect(() => {
    for (const clip of linked.split("\n").filter((c) => c !== "")) clips.watch(clip);
  }, [clips, linked]);
  return clips;
}
