import { useEffect, useMemo, useState } from "react";
import type { SuggestNews } from "../../../../src/study/exchange.ts";
import type { EventFrame, TrialMarks } from "../../../../src/study/types.ts";
import { lessonsOf, taughtStrides } from "../../../../src/suggest/taught.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { type Found, readFound } from "./found.ts";

export type Suggesting =
  | { readonly kind: "idle" }
  | { readonly kind: "looking"; readonly news: (SuggestNews & { readonly kind: "progress" }) | null }
  | { readonly kind: "found"; readonly found: Found; readonly asked: TrialMarks }
  | { readonly kind: "failed"; readonly why: string };

/** Marks change with every point put; nobody waits for a suggestion between two. */
const SETTLED_MS = 250;

/** Strides taught of each side. */
export function taughtSides(marks: TrialMarks): { readonly left: number; readonly right: number } {
  const lessons = lessonsOf(marks.events, marks.marks);
  return { left: taughtStrides(lessons, "left"), right: taughtStrides(lessons, "right") };
}

/**
 * What is suggested for the trial as it is now, with frames that were picked and not confirmed yet: asked for again whenever
 * a mark changes, one at a time. What was found before stays until there is something newer.
 */
export function useSuggestions(
  m: Pick<Measuring, "shell" | "marks">,
  isWanted: boolean,
  picked: readonly EventFrame[],
) {
  const [state, setState] = useState<Suggesting>({ kind: "idle" });
  const [news, setNews] = useState<Suggesting | null>(null);
  const { shell } = m;
  const drafts = JSON.stringify(picked);
  const asked = useMemo(() => {
    const events = (JSON.parse(drafts) as EventFrame[]).filter(
      (p) => !m.marks.events.some((e) => e.event === p.event && e.side === p.side && e.frame === p.frame),
    );
    return events.length === 0 ? m.marks : { ...m.marks, events: [...m.marks.events, ...events] };
  }, [m.marks, drafts]);
  const isAsked = isWanted && m.marks.picture !== null;
  useEffect(() => {
    if (!isAsked) {
      setNews(null);
      return;
    }
    const stop = new AbortController();
    const timer = setTimeout(() => {
      setNews({ kind: "looking", news: null });
      shell
        .suggest(asked, (told) => setNews({ kind: "looking", news: told }), stop.signal)
        .then((text) => setState({ kind: "found", found: readFound(text), asked }))
        .catch((error: unknown) => {
          if (!stop.signal.aborted) setState({ kind: "failed", why: String((error as Error).message) });
        })
        .finally(() => {
          if (!stop.signal.aborted) setNews(null);
        });
    }, SETTLED_MS);
    return () => {
      clearTimeout(timer);
      stop.abort();
    };
  }, [shell, asked, isAsked]);
  return { state, news, isCurrent: state.kind === "found" && state.asked === asked };
}
