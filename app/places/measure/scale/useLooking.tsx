import { Button } from "@mantine/core";
import { useEffect, useRef, useState } from "react";

export type Looking<News> =
  | { readonly kind: "idle" }
  | { readonly kind: "going"; readonly news: News | null }
  | { readonly kind: "failed"; readonly why: string };

/** Something that the host looks for in pictures while one waits: how far it is, stopped by hand or by going away. */
export function useLooking<News>() {
  const [state, setState] = useState<Looking<News>>({ kind: "idle" });
  const stop = useRef<AbortController | null>(null);
  useEffect(() => () => stop.current?.abort(), []);
  return {
    state,
    look(ask: (tell: (news: News) => void, signal: AbortSignal) => Promise<void>) {
      const mine = new AbortController();
      stop.current?.abort();
      stop.current = mine;
      setState({ kind: "going", news: null });
      ask((news) => setState({ kind: "going", news }), mine.signal)
        .then(() => {
          if (!mine.signal.aborted) setState({ kind: "idle" });
        })
        .catch((error: unknown) => {
          if (!mine.signal.aborted) setState({ kind: "failed", why: String((error as Error).message) });
        });
    },
    end() {
      stop.current?.abort();
      setState({ kind: "idle" });
    },
  };
}

export function LookingLine({ words, onStop }: { readonly words: string; readonly onStop: () => void }) {
  return (
    <p className="row background-check" role="status">
      {words}
      <Button size="compact-sm" variant="default" onClick={onStop}>
        Stop
      </Button>
    </p>
  );
}
