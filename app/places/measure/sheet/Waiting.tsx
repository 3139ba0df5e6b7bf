import { Progress } from "@mantine/core";
import { useRef } from "react";
import type { SheetNews } from "./sheetNews.ts";
import { useSheetKeys } from "./useSheetKeys.ts";
import type { Suggesting } from "./useSuggestions.ts";

interface Props {
  readonly state: Suggesting;
  /** Back to the picture, while looking goes on. */
  onMeanwhile(): void;
  onStop(): void;
}

/** In the picture's place until there is something to look at, or why there is nothing. */
export function Waiting({ state, onMeanwhile, onStop }: Props) {
  const failed = state.kind === "failed";
  const news = state.kind === "looking" ? state.news : null;
  const left = useTimeLeft(news);
  // The picture's own keys must not mean anything while it is not there.
  useSheetKeys({ ...NOTHING, close: failed ? onStop : onMeanwhile });
  if (failed)
    return (
      <section className="card sheet-empty" aria-label="Stride sheet">
        <h2>Nothing can be suggested here</h2>
        <p>{state.why}</p>
        <button type="button" className="plain-button" onClick={onStop}>
          Back to the picture (U)
        </button>
      </section>
    );
  const share = news && news.of > 0 ? (100 * news.done) / news.of : 0;
  return (
    <section className="card sheet-empty" aria-label="Stride sheet">
      <h2>
        {news?.doing === "preparing" ? "Preparing the clip …" : "Following the skater through the clip …"}
      </h2>
      <Progress value={share} className="sheet-progress" aria-label="Following the skater" />
      <p className="quiet">{news ? `${news.done} of ${news.of} frames${left}` : "A moment"}</p>
      <p className="quiet">
        Once for each clip. You can mark on meanwhile; looking gives way to your steps from frame to frame.
      </p>
      <div className="sheet-ways">
        <button type="button" className="plain-button" onClick={onMeanwhile}>
          Mark on meanwhile (U)
        </button>
        <button type="button" className="plain-button" onClick={onStop}>
          Stop looking
        </button>
      </div>
    </section>
  );
}

const nothing = () => undefined;
const NOTHING = {
  take: nothing,
  step: nothing,
  unseen: nothing,
  next: nothing,
  nudge: nothing,
  leaveOut: nothing,
};

/** Frames after which their pace tells how long the rest takes. */
const TELLING = 8;

/** ", about 20 s left", from the pace so far; empty while that cannot be told. */
function useTimeLeft(news: SheetNews | null): string {
  const began = useRef<{ doing: string; done: number; at: number } | null>(null);
  if (!news) return "";
  const now = performance.now();
  if (began.current?.doing !== news.doing || news.done < began.current.done)
    began.current = { doing: news.doing, done: news.done, at: now };
  const { done, at } = began.current;
  if (news.done - done < TELLING) return "";
  const seconds = ((now - at) / 1000 / (news.done - done)) * (news.of - news.done);
  return seconds < 90
    ? `, about ${Math.ceil(seconds)} s left`
    : `, about ${Math.round(seconds / 60)} min left`;
}
