import { useStore } from "zustand";
import type { Reach } from "../../../src/study/exchange.ts";
import { nextUnmarked } from "../../store/trialState.ts";
import { frameNotice } from "./clip/frameNotice.tsx";
import { goOnFromMarked, markedHere, markOn, toEvent } from "./core/markedHere.ts";
import { useLasting } from "./core/useLasting.ts";
import type { Measuring } from "./core/useMeasure.ts";
import { GuideStrip } from "./guide/GuideStrip.tsx";
import { MarkedStrip } from "./guide/MarkedStrip.tsx";
import { StripFoot } from "./guide/StripFoot.tsx";
import { ScaleStrip } from "./scale/ScaleStrip.tsx";

interface Props {
  readonly m: Measuring;
  readonly canvas: {
    readonly shown: number | null;
    readonly exact: boolean;
    readonly failure: string | null;
  };
  readonly cursorWords: string | null;
  readonly reach: Reach | null;
}

/** The strip under the picture: the question, or why there is none on this frame. */
export function AskedStrip({ m, canvas, cursorWords, reach }: Props) {
  const frame = useStore(m.session, (s) => s.frame);
  const { task } = useStore(m.ui);
  const said = frameNotice(m.index, frame, canvas, reach, () => m.clips.watch(m.trial.clip ?? ""));
  // At a step the frame comes sooner than anyone reads: what is said of its absence must not cost it time. A doubt is said at once.
  const late = useLasting(said !== null && !canvas.exact);
  const notice = said !== null && (canvas.exact || late) ? said : cursorWords;
  if (task === "scale") return <ScaleStrip m={m} notice={notice} />;
  const marked = markedHere(m);
  if (!marked) return <GuideStrip m={m} exact={canvas.exact} notice={notice} />;
  return (
    <MarkedStrip
      marked={marked}
      notice={notice}
      next={nextUnmarked(m.whole, m.trial.id)}
      foot={<StripFoot m={m} />}
      onLook={() => toEvent(m, 1)}
      onGoOn={() => goOnFromMarked(m)}
      onMarkOn={() => markOn(m, marked)}
    />
  );
}
