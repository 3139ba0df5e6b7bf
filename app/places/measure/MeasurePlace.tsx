import { startTransition, useCallback, useEffect, useState } from "react";
import { useStore } from "zustand";
import { MeasureError } from "../../../src/errors.ts";
import { trialOfView } from "../../../src/study/trialViews.ts";
import { readyRanges } from "../../store/clipFrames.ts";
import { trialReading } from "../../store/readings.ts";
import { goToPlace, goToTrial } from "../../store/session.ts";
import { whenIdle } from "../../store/whenIdle.ts";
import type { PlaceProps } from "../shared/PlaceProps.ts";
import { BesidePicture } from "./beside/BesidePicture.tsx";
import { besideClips } from "./beside/besideClips.ts";
import { ClipCare } from "./clip/ClipCare.tsx";
import { NoPicture } from "./clip/NoPicture.tsx";
import { useFocusHome } from "./core/useFocusHome.ts";
import { useKeys } from "./core/useKeys.ts";
import { type Measuring, useMeasure } from "./core/useMeasure.ts";
import { usePlay } from "./core/usePlay.ts";
import { useProposed } from "./core/useProposed.ts";
import { KeyList } from "./guide/KeyList.tsx";
import { StridePanel } from "./numbers/StridePanel.tsx";
import { ScalePanel } from "./scale/ScalePanel.tsx";
import { StrideSheet } from "./sheet/StrideSheet.tsx";
import { TrialHeader } from "./trial/TrialHeader.tsx";
import { TrialMap } from "./trial/TrialMap.tsx";
import { TrialPicture } from "./trial/TrialPicture.tsx";
import { TrialRibbon } from "./trial/TrialRibbon.tsx";
import "./measure.css";
import "./clip/clip.css";
import "./guide/guide.css";
import "./numbers/numbers.css";
import "./scale/scale.css";
import "./trial/trial.css";

/** The frame, what to mark on it, and the numbers that come of it. */
export function MeasurePlace({ session, shell }: PlaceProps) {
  const m = useMeasure(session, shell);
  const toTrial = useCallback(
    (by: 1 | -1) => {
      const { whole, trial } = session.getState();
      const own = trialOfView(whole.study, trial);
      const next = own && whole.study.trials[whole.study.trials.indexOf(own) + by];
      if (next) goToTrial(session, next.id);
    },
    [session],
  );
  useKeys(m, toTrial);
  useFocusHome();
  if (!m) {
    return (
      <div className="whole-page">
        <h1>Nothing to measure yet</h1>
        <p>
          This study has no trials. Plan lists the skaters, the techniques and the run order; then each trial
          can have a clip and be measured here.
        </p>
        <button type="button" className="plain-button" onClick={() => goToPlace(session, "plan")}>
          Go to Plan
        </button>
      </div>
    );
  }
  return <Measure m={m} toTrial={toTrial} />;
}

function Measure({ m, toTrial }: { m: Measuring; toTrial: (by: 1 | -1) => void }) {
  usePlay(m);
  const task = useStore(m.ui, (s) => s.task);
  const besideClip = useStore(m.ui, (s) => s.beside);
  const beside = besideClips(m.whole, m.trial.id).find(({ clip }) => clip === besideClip);
  const again = useStore(m.ui, (s) => s.pass.pass > 1);
  const [opened, setOpened] = useState(m.trial.clip === undefined);
  // Worked out while the first frame is fetched and decoded elsewhere, in slices that let it through when it comes.
  useEffect(() => whenIdle(() => startTransition(() => setOpened(true))), []);
  // Set once only: React keeps what is set again to the same in a list that grows with every step.
  const onPicture = useCallback(() => {
    if (!opened) setTimeout(() => setOpened(true), 0);
  }, [opened]);
  const proposed = useProposed(m);
  const reading = opened ? trialReading(m.whole, m.trial.id) : NOT_YET;
  return (
    <div className="measure">
      <TrialHeader m={m} reading={reading} toTrial={toTrial} />
      <ClipCare m={m} />
      <div className="measure-picture" data-beside={beside !== undefined}>
        <div className="measure-own">
          {m.index && m.index.width > 0 && readyRanges(m.index).length > 0 ? (
            <StrideSheet m={m}>
              <TrialPicture m={m} proposed={proposed} onPicture={onPicture} />
            </StrideSheet>
          ) : (
            <NoPicture m={m} />
          )}
        </div>
        {beside && <BesidePicture key={`${m.trial.id} ${beside.clip}`} m={m} beside={beside} />}
      </div>
      <aside className="measure-side">
        {task === "scale" ? (
          <ScalePanel key={m.trial.id} m={m} />
        ) : again ? (
          <p className="card hidden-while">
            Ice map and numbers are hidden while you mark again, so that they can't influence your marks.
          </p>
        ) : opened ? (
          <>
            <TrialMap {...m} reading={reading} />
            <StridePanel session={m.session} whole={m.whole} trial={m.trial} reading={reading} />
          </>
        ) : null}
      </aside>
      {opened ? <TrialRibbon m={m} proposed={proposed} /> : <section className="card measure-ribbon" />}
      <KeyList ui={m.ui} />
    </div>
  );
}

const NOT_YET: ReturnType<typeof trialReading> = {
  ok: false,
  error: new MeasureError("not-yet", "trialReading has not been asked yet", "Working out the numbers …"),
};
