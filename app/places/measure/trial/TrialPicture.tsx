import { useCallback, useMemo } from "react";
import { useStore } from "zustand";
import { endGates } from "../../../../src/trials/gateTime.ts";
import { Picture } from "../../../picture/Picture.tsx";
import type { FollowFrame } from "../../../picture/useFrames.ts";
import { firstFrame, isDoubtful, lastFrame } from "../../../store/clipFrames.ts";
import { AskedStrip } from "../AskedStrip.tsx";
import { FrameBar } from "../clip/FrameBar.tsx";
import { PlayBar } from "../clip/PlayBar.tsx";
import { ScrubEdge } from "../clip/ScrubEdge.tsx";
import { moveDrawn, movePiece, placeHere } from "../core/actions.ts";
import { stepNow, toolNow } from "../core/guideNow.ts";
import { sayRefused } from "../core/hereNow.ts";
import { placeExpected, puttingPoints } from "../core/iceActions.ts";
import { iceScale } from "../core/iceScale.ts";
import { aimed, placing, pushing, scalePlacing } from "../core/pictureAsks.ts";
import type { Proposal } from "../core/proposals.ts";
import { drawnIce, drawnOnFrame } from "../core/trialView.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { useLikely } from "../core/useProposed.ts";
import { useSkater } from "../core/useSkater.ts";
import { useWantFrame } from "../core/useWantFrame.ts";
import { goToFrame } from "../guide/steps.ts";
import { GateLines, IceGrid } from "../scale/IceOverlay.tsx";
import { offeredPoints, targetsOf } from "../scale/offeredPoints.ts";
import { ScaleOverlay } from "../scale/ScaleOverlay.tsx";

interface Props {
  readonly m: Measuring;
  readonly proposed: readonly Proposal[];
  /** A frame is on the canvas. */
  onPicture(): void;
}

/** The picture with what is marked on it, its bar, and the question under both. */
export function TrialPicture({ m, proposed, onPicture }: Props) {
  const frame = useStore(m.session, (s) => s.frame);
  const ui = useStore(m.ui);
  const scaling = ui.task === "scale";
  const marks = useMemo(
    () => (scaling ? drawnIce(m.marks, frame) : drawnOnFrame(m.marks, frame, ui.pass)),
    [scaling, m.marks, frame, ui.pass],
  );
  const fitted = iceScale(m.whole, m.trial.id, m.picture);
  const scale = fitted?.ok ? fitted.value : null;
  const putting = scaling ? puttingPoints(m) : null;
  const left = putting ? offeredPoints(putting).filter((c) => !c.marked) : [];
  const tool = toolNow(m);
  const step = stepNow(m);
  const skater = useSkater(m, scale);
  const likely = useLikely(m.marks.events, proposed, frame);
  const reach = useWantFrame(m, frame);
  const followFrame = useFollowFrame(m);
  if (!m.index) return null;
  const asked = m.readOnly || ui.playing ? null : scaling ? scalePlacing(tool) : placing(step, tool);
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
      // What breaks the beam is the front of the whole body.
      aimed={ui.gates ? "arms" : aimed(step)}
      pushing={pushing(step, m.marks.events, frame)}
      closed={isDoubtful(m.index, frame)}
      placing={asked}
      targets={putting && !m.readOnly ? targetsOf(putting, left, tool) : NO_TARGETS}
      onTarget={(label, at) => placeExpected(m, label, at)}
      edge={
        <ScrubEdge
          times={m.index.times}
          frame={frame}
          first={firstFrame(m.index)}
          last={lastFrame(m.index)}
          onFrame={(to) => goToFrame(m.session, m.index, to)}
          onAim={m.aim.at}
        />
      }
      bar={
        <>
          <FrameBar m={m} />
          <PlayBar m={m} />
        </>
      }
      overlay={(px) => (
        <>
          {ui.grid && scale && <IceGrid scale={scale} frame={frame} px={px} />}
          {ui.gates && !scaling && scale && (
            <GateLines
              {...{ scale, frame, px }}
              gates={endGates(m.whole.study.lane) ?? []}
              unit={m.whole.study.lane.unit}
            />
          )}
          {scaling && (
            <ScaleOverlay
              reference={m.marks.iceReference}
              lines={m.marks.straightLines ?? []}
              scale={scale}
              left={left}
              picture={m.picture}
              frame={frame}
              px={px}
            />
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
        <AskedStrip m={m} canvas={canvas} cursorWords={cursorWords} reach={reach} />
      )}
    </Picture>
  );
}

/** Tells the picture of a frame gone to before the window is drawn anew, and of one that is aimed at. */
function useFollowFrame({ session, aim }: Pick<Measuring, "session" | "aim">): FollowFrame {
  return useCallback<FollowFrame>(
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
}

const NO_TARGETS: ReturnType<typeof targetsOf> = [];
