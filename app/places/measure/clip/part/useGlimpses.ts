import { useEffect, useState } from "react";
import type { Shell } from "../../../../shell/Shell.ts";
import { ShellError } from "../../../../shell/Shell.ts";
import { belongs, type Cell } from "./stripView.ts";

/** Asked for at once: the window has other things to ask. */
const AT_ONCE = 3;

export interface Seen {
  readonly url: string;
  readonly time: number;
}

/** The pictures of a strip's cells by their moment, as they come; null = there is none near it. */
export function useGlimpses(
  shell: Pick<Shell, "glimpse">,
  clip: string,
  wanted: readonly Cell[],
): ReadonlyMap<number, Seen | null> {
  const [seen, setSeen] = useState<ReadonlyMap<number, Seen | null>>(new Map());
  const key = wanted.map((c) => c.at).join(" ");
  // biome-ignore lint/correctness/useExhaustiveDependencies: the moments say which cells they are
  useEffect(() => {
    const asking = new AbortController();
    const urls: string[] = [];
    const found = new Map<number, Seen | null>();
    setSeen(found);
    const open = [...wanted];
    const work = async () => {
      for (let cell = open.shift(); cell && !asking.signal.aborted; cell = open.shift()) {
        const glimpse = await shell.glimpse(clip, cell.at, asking.signal).catch((error: unknown) => {
          if (!(error instanceof ShellError)) throw error;
          return null;
        });
        if (asking.signal.aborted) return;
        const near = glimpse?.time != null && belongs(cell, glimpse.time) ? glimpse : null;
        const url = near && URL.createObjectURL(near.picture);
        if (url) urls.push(url);
        found.set(cell.at, near && url ? { url, time: near.time as number } : null);
        setSeen(new Map(found));
      }
    };
    for (let n = 0; n < AT_ONCE; n++) void work();
    return () => {
      asking.abort();
      for (const url of urls) URL.revokeObjectURL(url);
    };
  }, [shell, clip, key]);
  return seen;
}
