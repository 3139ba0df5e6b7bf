import { useRef, useState } from "react";
import type { SeasonNews, SeasonWish } from "../../src/study/exchange.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";

export type Answer = SeasonNews & { readonly kind: "pooled" | "skater" | "forgotten" };

export type Asked =
  | { readonly is: "nothing" }
  | { readonly is: "asking"; readonly done: number; readonly of: number }
  | { readonly is: "answered"; readonly answer: Answer }
  | { readonly is: "refused"; readonly why: string };

/** Something asked of the season; one question at a time, the newest counts. */
export function useAsked(shell: Shell) {
  const [asked, setAsked] = useState<Asked>({ is: "nothing" });
  const going = useRef<AbortController | null>(null);
  const stop = () => {
    going.current?.abort();
    going.current = null;
    setAsked({ is: "nothing" });
  };
  const ask = async (wish: SeasonWish) => {
    going.current?.abort();
    const stopped = new AbortController();
    going.current = stopped;
    setAsked({ is: "asking", done: 0, of: 0 });
    const set = (now: Asked) => going.current === stopped && setAsked(now);
    try {
      const answer = await shell.season(
        wish,
        ({ done, of }) => set({ is: "asking", done, of }),
        stopped.signal,
      );
      set({ is: "answered", answer });
    } catch (error) {
      if (stopped.signal.aborted) return;
      if (!(error instanceof ShellError)) throw error;
      set({ is: "refused", why: error.message });
    }
  };
  return { asked, ask, stop };
}
