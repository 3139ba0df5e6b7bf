import { startTransition, useCallback, useEffect, useMemo, useState } from "react";
import { useStore } from "zustand";
import { MeasureError } from "../../../src/errors.ts";
import type { Scale } from "../../../src/ice/types.ts";
import type { Stride } from "../../../src/kinematics/types.ts";
import type { Reach } from "../../../src/study/exchange.ts";
import type { PointName } from "../../../src/study/types.ts";
import { iceMarkSd } from "../../../src/trials/trialInput.ts";
import { icePlaces, icePointsOn } from "../../commands/ice/icePoints.ts";
import { IceMap } from "../../icemap/IceMap.tsx";
import type { Placing } from "../../picture/drawnMark.ts";
import type { Aimed } from "../../picture/follow.ts";
import { Picture } from "../../picture/Picture.tsx";
import type { FollowFrame } from "../../picture/useFrames.ts";
import { Ribbon } from "../../ribbon/Ribbon.tsx";
import { RibbonKey } from "../../ribbon/RibbonKey.tsx";
import { firstFrame, isDoubtful, lastFrame, readyRanges } from "../../store/clipFrames.ts";
import { scaleOf, trialReading } from "../../store/readings.ts";
import { goToPlace, goToTrial } from "../../store/session.ts";
import { nextUnmarked } from "../../store/trialState.ts";
import { whenIdle } from "../../store/whenIdle.ts";
import type { PlaceProps } from "../shared/PlaceProps.ts";
import { ClipCare } from "./clip/ClipCare.tsx";
import { ClipPart } from "./clip/ClipPart.tsx";
import { ClipProgress, inProgress } from "./clip/ClipProgress.tsx";
import { ClipSpeed } from "./clip/ClipSpeed.tsx";
import { FrameBar } from "./clip/FrameBar.tsx";
import { frameNotice } from "./clip/frameNotice.tsx";
import { NoPicture } from "./clip/NoPicture.tsx";
import { PlayBar } from "./clip/PlayBar.tsx";
import {
  guideInput,
  moveDrawn,
  movePiece,
  othersRhythm,
  placeExpected,
  placeHere,
  puttingPoints,
  sayRefused,
  toolNow,
} from "./core/actions.ts";
import { currentStride } from "./core/currentStride.ts";
import { goOnFromMarked, markedHere } from "./core/markedHere.ts";
import { FIRST_PASS, ofPass } from "./core/pass.ts";
import { frameAt, type Proposal, proposals } from "./core/proposals.ts";
import { type SkaterPath, skaterPath } from "./core/skaterPath.ts";
import { chosenPoint, type Tool, toTask } from "./core/tool.ts";
import { drawnIce, drawnOnFrame } from "./core/trialView.ts";
import { useFocusHome } from "./core/useFocusHome.ts";
import { useKeys } from "./core/useKeys.ts";
import { useLasting } from "./core/useLasting.ts";
import { type Measuring, useMeasure } from "./core/useMeasure.ts";
import { usePlay } from "./core/usePlay.ts";
import { useWantFrame } from "./core/useWantFrame.ts";
import { GuideStrip } from "./guide/GuideStrip.tsx";
import { guide } from "./guide/guide.ts";
import { KeyList } from "./guide/KeyList.tsx";
import { likelyFrames } from "./guide/likelyFrames.ts";
import { MarkedStrip } from "./guide/MarkedStrip.tsx";
import { depthOf } from "./guide/sequence.ts";
import { goToFrame } from "./guide/steps.ts";
import { StridePanel } from "./numbers/StridePanel.tsx";
import { ExpectedPoints, FitArrows, IceGrid, KnownLengths } from "./scale/IceOverlay.tsx";
import { apart, expectedAt, offeredPoints } from "./scale/offeredPoints.ts";
import { ScalePanel } from "./scale/ScalePanel.tsx";
import { ScaleStrip } from "./scale/ScaleStrip.tsx";
import { TrialHeader } from "./TrialHeader.tsx";
import "./measure.css";

/** The frame, what to mark on it, and the numbers that come of it. */
export function MeasurePlace({ session, shell }: PlaceProps) {
  const m = useMeasure(session, shell);
  const toTrial = useCallback(
    (by: 1 | -1) => {
      const { whole, trial } = session.getState();
      const next = whole.study.trials[whole.study.trials.findIndex((t) => t.id === trial) + by];
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
  const again = useStore(m.ui, (s) => s.pass.pass > 1);
  const [opened, setOpened] = useState(m.trial.clip === undefined);
  // Worked out while the first frame is fetched and decoded elsewhere, in slices that let it through when it comes.
  useEffect(() => whenIdle(() => startTransition(() => setOpened(true))), []);
  // Set once only: React keeps what is set again to the same in a list that grows with every step.
  const onPicture = useCallback(() => {
    if (!opened) setTimeout(() => setOpened(true), 0);
  }, [opened]);
  const reading = opened ? trialReading(m.whole, m.trial.id) : NOT_YET;
  return (
    <div className="measure">
      <TrialHeader m={m} reading={reading} toTrial={toTrial} />
      <ClipCare m={m} />
      <div className="measure-picture">
        {m.index && m.index.width > 0 && readyRanges(m.index).length > 0 ? (
          <TrialPicture m={m} onPicture={onPicture} />
        ) : (
          <NoPicture m={m} />
        )}
      </div>
      <aside className="measure-side">
        {task === "scale" ? (
          <ScalePanel m={m} />
        ) : again ? (
          <p className="card hidden-while">
            Ice map and numbers are hidden while you mark again, so that they can't lead the hand.
          </p>
        ) : opened ? (
          <>
            <TrialMap m={m} reading={reading} />
            <StridePanel session={m.session} whole={m.whole} trial={m.trial} reading={reading} />
          </>
        ) : null}
      </aside>
      {opened ? <TrialRibbon m={m} /> : <section className="card measure-ribbon" />}
      <KeyList ui={m.ui} />
    </div>
  );
}

function TrialPicture({ m, onPicture }: { m: Measuring; onPicture: () => void }) {
  const frame = useStore(m.session, (s) => s.frame);
  const ui = useStore(m.ui);
  const scaling = ui.task === "scale";
  const marks = useMemo(
    () => (scaling ? drawnIce(m.marks, frame) : drawnOnFrame(m.marks, frame, ui.pass)),
    [scaling, m.marks, frame, ui.pass],
  );
  const reference = m.marks.iceReference;
  const scale = reference && m.picture ? scaleOf(reference, m.picture, iceMarkSd(m.whole)) : null;
  const putting = scaling ? puttingPoints(m) : null;
  const left = putting ? offeredPoints(putting).filter((c) => !c.marked) : [];
  const chosen = chosenPoint(ui);
  // What is asked for is put like any point: pressed, adjusted, let go; so is what lies right beside it.
  const targets = left.flatMap((c) => {
    const at =
      putting && !m.readOnly && !(chosen && apart(chosen, c) < BESIDE_M) ? expectedAt(putting, c) : null;
    return at ? [{ ...at, label: c.label }] : [];
  });
  const skater = useSkater(m, scale?.ok ? scale.value : null);
  const likely = useLikely(m, frame);
  const reach = useWantFrame(m, frame);
  const { session, aim } = m;
  const followFrame = useCallback<FollowFrame>(
    (go, expect) => {
      const stopAim = aim.follow(expect);
      const stop = session.subscribe((now, before) => {
        if (now.frame !== before.frame && now.trial === before.trial) go(now.frame);
      });
      return () => {
        stop();
        stopAim();
      };
    },
    [session, aim],
  );
  if (!m.index) return null;
  return (
    <Picture
      key={m.index.clip}
      index={m.index}
      frame={frame}
      likely={likely}
      frameUrl={m.shell.frameUrl}
      followFrame={followFrame}
      marks={marks}
      selected={ui.selected}
      namesShown={ui.names || scaling}
      skater={scaling ? null : skater}
      aimed={aimed(m)}
      closed={isDoubtful(m.index, frame)}
      placing={m.readOnly ? null : placing(m)}
      targets={targets}
      onTarget={(label, at) => placeExpected(m, label, at)}
      bar={
        <>
          <FrameBar m={m} />
          <PlayBar m={m} />
        </>
      }
      overlay={(px) => (
        <>
          {ui.grid && scale?.ok && <IceGrid scale={scale.value} frame={frame} px={px} />}
          {scaling && reference?.kind === "known-lengths" && (
            <KnownLengths lengths={reference.lengths} px={px} />
          )}
          {scaling && scale?.ok && reference?.kind !== "known-lengths" && (
            <>
              <FitArrows scale={scale.value} points={icePointsOn(reference, frame)} frame={frame} px={px} />
              {m.picture && (
                <ExpectedPoints
                  scale={scale.value}
                  candidates={left}
                  marked={icePointsOn(reference, frame)}
                  picture={m.picture}
                  frame={frame}
                  px={px}
                />
              )}
            </>
          )}
        </>
      )}
      onPlace={(at, to) => placeHere(m, at, to)}
      onMove={(id, at) => moveDrawn(m, id, at)}
      onMovePiece={(moves) => movePiece(m, moves)}
      onSelect={(id) => m.ui.setState({ selected: id })}
      onRefused={() => sayRefused(m)}
      onScreen={(shown, failed) => {
        m.onScreen.current = m.index && { clip: m.index.clip, frame: shown, failed };
        if (shown !== null) onPicture();
      }}
    >
      {({ cursorWords, ...canvas }) => (
        <Asked m={m} canvas={canvas} cursorWords={cursorWords} reach={reach} />
      )}
    </Picture>
  );
}

interface AskedProps {
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
function Asked({ m, canvas, cursorWords, reach }: AskedProps) {
  const frame = useStore(m.session, (s) => s.frame);
  const { task } = useStore(m.ui);
  const said = frameNotice(m.index, frame, canvas, reach, () => m.clips.watch(m.trial.clip ?? ""));
  // At a step the frame comes sooner than anyone reads: what is said of its absence must not cost it time. A doubt is said at once.
  const late = useLasting(said !== null && !canvas.exact);
  const notice = said !== null && (canvas.exact || late) ? said : cursorWords;
  if (task === "scale") return <ScaleStrip m={m} notice={notice} />;
  const strides = markedHere(m);
  if (strides === null) return <GuideStrip m={m} exact={canvas.exact} notice={notice} />;
  return (
    <MarkedStrip
      strides={strides}
      notice={notice}
      next={nextUnmarked(m.whole, m.trial.id)}
      onGoOn={() => goOnFromMarked(m)}
      onMarkOn={() => m.ui.setState({ markOn: true })}
    />
  );
}

function placing(m: Measuring): Placing | null {
  if (m.ui.getState().playing) return null;
  const tool = toolNow(m);
  if (m.ui.getState().task === "scale") {
    const label = scaleLabel(tool);
    return label === null ? null : { side: null, label };
  }
  if (tool.kind === "move-event") return null;
  const step = guide(guideInput(m));
  if (step.kind !== "point") return null;
  const { side, title, dragsTo } = step;
  return { side, label: title, ...(dragsTo ? { dragsTo: dragsTo.side } : {}) };
}

/** Where the skater is, from the marks of the first pass. */
function useSkater(m: Measuring, scale: Scale | null): SkaterPath {
  const { marks, events } = m.marks;
  const { time, speedFactor } = m.trial;
  const ratePerS = (m.index?.rateMedianHz ?? USUAL_HZ) * speedFactor;
  const speed = time === null ? 0 : m.whole.study.lane.distance / time;
  return useMemo(
    () => skaterPath({ marks: marks.filter((k) => ofPass(k, FIRST_PASS)), events, scale, ratePerS, speed }),
    [marks, events, scale, ratePerS, speed],
  );
}

/** What the question is about: so much of the skater is to be seen. */
function aimed(m: Measuring): Aimed {
  const step = guide(guideInput(m));
  if (step.kind === "point") return AIMED[step.point] ?? "blades";
  if (step.kind === "arm-question") return "arms";
  const event = step.kind === "pick-event" ? step.event : null;
  return event === "arm_front" || event === "arm_back" ? "arms" : "blades";
}

const AIMED: Partial<Record<PointName, Aimed>> = {
  hip: "hips",
  shoulder: "arms",
  elbow: "arms",
  wrist: "arms",
};

/** A press so near on the ice to what is asked for is meant for that, metres. */
const BESIDE_M = 0.5;

/** Where a clip does not say. */
const USUAL_HZ = 60;

/** What is put for the scale; null = nothing. */
function scaleLabel(tool: Tool): string | null {
  if (tool.kind === "recheck") return `${tool.label} again`;
  if (tool.kind === "ice-point") return tool.point.label;
  if (tool.kind === "length") return tool.from ? "other end" : "one end";
  return null;
}

function useLikely(m: Measuring, frame: number): readonly number[] {
  const proposed = useProposed(m, 2);
  const { events } = m.marks;
  return useMemo(
    () =>
      likelyFrames(
        events,
        frame,
        proposed.map((p) => p.frame),
      ),
    [events, frame, proposed],
  );
}

/** The next events to come by the rhythm of the trial and of the study's other trials. */
function useProposed(m: Measuring, count: number): readonly Proposal[] {
  const { events } = m.marks;
  const times = m.index?.times ?? NO_TIMES;
  const { speedFactor } = m.trial;
  const depth = depthOf(m.whole.study);
  const others = othersRhythm(m.whole, m.trial.id);
  return useMemo(
    () => proposals({ events, times, depth, speedFactor, others }, count),
    [events, times, depth, speedFactor, count, others],
  );
}

function TrialMap({ m, reading }: { m: Measuring; reading: ReturnType<typeof trialReading> }) {
  const strides = reading.ok ? reading.value.strides : NO_STRIDES;
  // Redrawn when the stride changes, not with every frame.
  const current = useStore(m.session, (s) => currentStride(strides, s.frame));
  const reference = m.marks.iceReference;
  const scale = reference && m.picture ? scaleOf(reference, m.picture, iceMarkSd(m.whole)) : null;
  return (
    <IceMap
      lane={m.whole.study.lane}
      strides={strides}
      current={current}
      hull={scale?.ok ? scale.value.hull : []}
      icePoints={icePlaces(reference)}
      empty={mapEmpty(m, scale)}
      emptyAct={
        m.readOnly ? null : { label: "Set the scale of the ice", act: () => m.ui.setState(toTask("scale")) }
      }
      onFrame={(f) => goToFrame(m.session, m.index, f)}
    />
  );
}

function mapEmpty(m: Measuring, scale: ReturnType<typeof scaleOf> | null): string | null {
  const reference = m.marks.iceReference;
  if (!reference)
    return "The ice map and every number in metres need the scale of the ice. Times and rates do without it.";
  if (reference.kind === "known-lengths")
    return "Known lengths give a scale near them, but not a map of the lane. Ice points do.";
  return scale && !scale.ok ? scale.error.coach : null;
}

function TrialRibbon({ m }: { m: Measuring }) {
  const frame = useStore(m.session, (s) => s.frame);
  const { session, index } = m;
  const times = index?.times ?? NO_TIMES;
  const onFrame = useCallback((f: number) => goToFrame(session, index, f), [session, index]);
  const proposed = useProposed(m, 4);
  return (
    <section className="card measure-ribbon">
      <div className="ribbon-head">
        <h2>Stride ribbon</h2>
        {index && inProgress(index) ? <ClipProgress m={m} index={index} /> : <RibbonKey />}
        {m.trial.speedFactor !== 1 && (
          <span className="care">real seconds: clip time divided by {m.trial.speedFactor}</span>
        )}
        <span className="clip-facts">
          <ClipSpeed m={m} />
          <ClipPart m={m} />
        </span>
      </div>
      <Ribbon
        events={m.marks.events}
        proposed={proposed}
        times={times}
        frame={frame}
        first={firstFrame(m.index)}
        last={lastFrame(m.index)}
        speedFactor={m.trial.speedFactor}
        onFrame={onFrame}
        onAim={m.aim.at}
        frameAt={frameAt}
      />
    </section>
  );
}

const NOT_YET: ReturnType<typeof trialReading> = {
  ok: false,
  error: new MeasureError("not-yet", "trialReading has not been asked yet", "Working out the numbers …"),
};
const NO_STRIDES: readonly Stride[] = [];
const NO_TIMES: readonly number[] = [];
