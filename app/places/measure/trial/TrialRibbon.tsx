import { useCallback } from "react";
import { useStore } from "zustand";
import { Ribbon } from "../../../ribbon/Ribbon.tsx";
import { RibbonKey } from "../../../ribbon/RibbonKey.tsx";
import { firstFrame, lastFrame } from "../../../store/clipFrames.ts";
import { ClipPart } from "../clip/ClipPart.tsx";
import { ClipProgress, inProgress } from "../clip/ClipProgress.tsx";
import { ClipSpeed } from "../clip/ClipSpeed.tsx";
import { frameAt, type Proposal } from "../core/proposals.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { goToFrame } from "../guide/steps.ts";

/** The ribbon with its head: how far the clip is, how it plays, which part of it is meant. */
export function TrialRibbon({ m, proposed }: { m: Measuring; proposed: readonly Proposal[] }) {
  const frame = useStore(m.session, (s) => s.frame);
  const { session, index, trial } = m;
  const onFrame = useCallback((f: number) => goToFrame(session, index, f), [session, index]);
  return (
    <section className="card measure-ribbon">
      <div className="ribbon-head">
        <h2>Stride ribbon</h2>
        {index && inProgress(index) ? <ClipProgress clips={m.clips} index={index} /> : <RibbonKey />}
        {trial.speedFactor !== 1 && (
          <span className="care">real seconds: clip time divided by {trial.speedFactor}</span>
        )}
        <span className="clip-facts">
          <ClipSpeed m={m} />
          <ClipPart m={m} />
        </span>
      </div>
      <Ribbon
        events={m.marks.events}
        proposed={proposed}
        times={index?.times ?? NO_TIMES}
        frame={frame}
        first={firstFrame(index)}
        last={lastFrame(index)}
        speedFactor={trial.speedFactor}
        onFrame={onFrame}
        onAim={m.aim.at}
        frameAt={frameAt}
      />
    </section>
  );
}

const NO_TIMES: readonly number[] = [];
