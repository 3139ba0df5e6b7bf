import { useEffect, useMemo } from "react";
import { useStore } from "zustand";
import type { Shell } from "../shell/Shell.ts";
import { type ClipState, clipState, startClipWatch } from "../store/clips.ts";

/** Follows the clips of a film and has the first that is not ready prepared. */
export function useFilmClips(shell: Shell, clips: readonly string[]): readonly ClipState[] {
  const watch = useMemo(() => startClipWatch(shell), [shell]);
  useEffect(() => () => watch.stop(), [watch]);
  const all = useStore(watch.state);
  const named = clips.join(" ");
  // biome-ignore lint/correctness/useExhaustiveDependencies: the list is another array each time, its names are not
  useEffect(() => {
    for (const clip of clips) watch.watch(clip);
  }, [watch, named]);
  const states = clips.map((clip) => clipState(all, clip));
  const next = clips.find((_, c) => {
    const state = states[c]?.index?.state;
    return state !== undefined && state !== "ready" && state !== "failed";
  });
  useEffect(() => {
    // What is wrong with a clip is said where its index is asked for.
    if (next !== undefined) watch.prepare(next).catch(() => undefined);
  }, [watch, next]);
  return states;
}
