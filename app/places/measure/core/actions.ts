import type { PicturePoint } from "../../../../src/ice/types.ts";
import type { EventFrame, Mark } from "../../../../src/study/types.ts";
import { confirmIceReference } from "../../../commands/ice/confirmIceReference.ts";
import { byEye, icePointsOn } from "../../../commands/ice/icePoints.ts";
import { recheckIcePoint } from "../../../commands/ice/recheckIcePoint.ts";
import { setIcePoint } from "../../../commands/ice/setIcePoint.ts";
import { setKnownLength } from "../../../commands/ice/setKnownLength.ts";
import { addMark } from "../../../commands/marks/addMark.ts";
import { answerArm } from "../../../commands/marks/answerArm.ts";
import { markNotSeen } from "../../../commands/marks/markNotSeen.ts";
import { sameMark } from "../../../commands/marks/marksOf.ts";
import { moveEvent } from "../../../commands/marks/moveEvent.ts";
import { moveMark } from "../../../commands/marks/moveMark.ts";
import { setEvent } from "../../../commands/marks/setEvent.ts";
import { setGatePassing } from "../../../commands/marks/setGatePassing.ts";
import type { Move } from "../../../picture/useGestures.ts";
import { attempt } from "../../../store/attempt.ts";
import { isDoubtful, timeOf } from "../../../store/clipFrames.ts";
import { dismissAll, say } from "../../../store/messages.ts";
import { questionKey, withCarriedAnswers } from "../guide/armQuestion.ts";
import { oneBack } from "../guide/guide.ts";
import { skipped } from "../guide/repeatPass.ts";
import type { Asked, AskedPoint } from "../guide/sequence.ts";
import { goToFrame } from "../guide/steps.ts";
import { offeredPoints, type PuttingPoints, pointAfter } from "../scale/offeredPoints.ts";
import { scaleAdvice } from "../scale/scaleAdvice.ts";
import { isUnchecked } from "../scale/scaleHere.ts";
import { sharedHere } from "../scale/sharedHere.ts";
import { guideInput, stepNow, toolNow } from "./guideNow.ts";
import { iceScale } from "./iceScale.ts";
import { passKey } from "./pass.ts";
import { markPoint, NO_TOOL, type Tool, toTask } from "./tool.ts";
import { markId, trialMarks } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

/** What a person does while measuring, as commands on the study and moves in the window. */

export const NOT_THERE =
  "This frame is not on the screen yet, so nothing was marked. Marks can be put as soon as it is.";

export const DOUBTFUL =
  "The clip is damaged here: this picture may be put together from others, so nothing can be marked on it. Choose a frame before or after.";

/** Why a press on the picture was refused. */
export function sayRefused(m: Measuring): void {
  const { frame } = m.session.getState();
  say(m.onScreen.current?.frame === frame && isDoubtful(m.index, frame) ? DOUBTFUL : NOT_THERE);
}

/** After an answer: to the next event frame, picked or suggested, once nothing is left to ask here. */
function goOn(m: Measuring): void {
  let step = stepNow(m);
  if (step.kind === "go-to-event") {
    goToFrame(m.session, m.index, step.event.frame);
    step = stepNow(m);
  }
  if (step.kind === "pick-event" && step.suggested !== null) goToFrame(m.session, m.index, step.suggested);
}

/** Picture and clip time to put things on at the current frame; null (and a sentence) when there is none. */
function here(
  m: Measuring,
): { frame: number; time: number; picture: NonNullable<Measuring["picture"]> } | null {
  const { frame } = m.session.getState();
  const onScreen = m.onScreen.current;
  if (onScreen?.clip !== m.trial.clip || onScreen?.frame !== frame) {
    say(NOT_THERE);
    return null;
  }
  if (isDoubtful(m.index, frame)) {
    say(DOUBTFUL);
    return null;
  }
  const time = timeOf(m.index, frame);
  if (time === undefined || !m.picture) {
    say("This frame's time is not known yet. Wait until the clip is prepared that far.");
    return null;
  }
  return { frame, time, picture: m.picture };
}

/** A press on the picture: the point that is asked for; dragged on, also the other end of its piece. */
export function placeHere(m: Measuring, at: PicturePoint, to: PicturePoint | null = null): void {
  const now = here(m);
  if (!now) return;
  if (m.ui.getState().task === "scale") {
    placeOnIce(m, at, now.picture);
    return;
  }
  const step = stepNow(m);
  if (step.kind !== "point" || toolNow(m).kind === "move-event") return;
  const { frame, time, picture } = now;
  const markOf = (p: AskedPoint, replaces: Mark | null, where: PicturePoint): Mark => {
    const { pass, observer } = replaces ?? passKey(m.ui.getState().pass);
    return {
      frame,
      time,
      point: p.point,
      side: p.side,
      ...where,
      ...(pass === undefined ? {} : { pass }),
      ...(observer === undefined ? {} : { observer }),
    };
  };
  const mark = markOf(step, step.replaces, at);
  const also = to && step.dragsTo ? markOf(step.dragsTo, step.dragsTo.replaces, to) : null;
  const becomes = step.becomes && { ...step.becomes, frame, time };
  const put = { mark, ...(also ? { also } : {}), ...(becomes ? { becomes } : {}) };
  if (!attempt(m.session, addMark, { trial: m.trial.id, ...put, picture })) return;
  m.ui.setState({ selected: markId(also ?? mark) });
  letGoOf(m, "ask-point");
  goOn(m);
}

function placeOnIce(m: Measuring, at: PicturePoint, picture: NonNullable<Measuring["picture"]>): void {
  const tool = toolNow(m);
  const trial = m.trial.id;
  const { frame } = m.session.getState();
  switch (tool.kind) {
    case "recheck": {
      const recheck = { frame, label: tool.label, ...at };
      if (attempt(m.session, recheckIcePoint, { trial, recheck })) m.ui.setState({ tool: NO_TOOL });
      return;
    }
    case "ice-point": {
      const { point } = tool;
      if (attempt(m.session, setIcePoint, { trial, frame, point: { ...point, ...at }, picture }))
        m.ui.setState({ tool: askAfter(m, point.label), selected: `ice ${point.label}` });
      return;
    }
    case "length": {
      const { from, u } = tool;
      if (!from) {
        m.ui.setState({ tool: { ...tool, from: at } });
        return;
      }
      const length = {
        x1Px: from.xPx,
        y1Px: from.yPx,
        x2Px: at.xPx,
        y2Px: at.yPx,
        length: tool.length,
        ...(u === undefined ? {} : { u }),
      };
      if (attempt(m.session, setKnownLength, { trial, index: null, length, picture }))
        m.ui.setState({ tool: NO_TOOL });
      return;
    }
  }
}

/** Done with that tool; another one that was taken up stays. */
function letGoOf(m: Measuring, kind: Tool["kind"]): void {
  if (m.ui.getState().tool.kind === kind) m.ui.setState({ tool: NO_TOOL });
}

/** As things are now, not as they were when the window was last drawn. */
export function puttingPoints(m: Measuring): PuttingPoints {
  const { whole, frame } = m.session.getState();
  const scale = iceScale(whole, m.trial.id, m.picture);
  return {
    whole,
    trial: m.trial.id,
    frame,
    typed: m.ui.getState().typed,
    scale: scale?.ok ? scale.value : null,
    picture: m.picture,
  };
}

/** The next ice point of the list is asked for by itself. */
function askAfter(m: Measuring, label: string): Tool {
  const next = pointAfter(puttingPoints(m), label);
  return next ? markPoint(next) : NO_TOOL;
}

/** A press on the dashed square where the scale expects a place: it is put there. */
export function placeExpected(m: Measuring, label: string, at: PicturePoint): void {
  const now = here(m);
  const point = offeredPoints(puttingPoints(m)).find((c) => c.label === label && !c.marked);
  if (!now || !point) return;
  const { marked: _, ...place } = point;
  const put = { trial: m.trial.id, frame: now.frame, point: { ...place, ...at }, picture: now.picture };
  if (attempt(m.session, setIcePoint, put))
    m.ui.setState({ tool: askAfter(m, label), selected: `ice ${label}` });
}

/** Moves what the picture calls `id`: a mark, an ice point or the end of a known length. */
export function moveDrawn(m: Measuring, id: string, at: PicturePoint): void {
  const { whole, frame } = m.session.getState();
  const marks = trialMarks(whole, m.trial.id);
  const mark = marks.marks.find((k) => markId(k) === id);
  if (mark) {
    if (isDoubtful(m.index, mark.frame)) say(DOUBTFUL);
    else attempt(m.session, moveMark, { trial: m.trial.id, key: mark, xPx: at.xPx, yPx: at.yPx });
    return;
  }
  const reference = marks.iceReference;
  if (!m.picture || !reference) return;
  if (reference.kind !== "known-lengths") {
    const point = icePointsOn(reference, frame).find((p) => `ice ${p.label}` === id);
    const { picture } = m;
    const trial = m.trial.id;
    if (point) {
      const moved = { ...byEye(point, whole.study.markSdPx), ...at };
      attempt(m.session, setIcePoint, { trial, frame, point: moved, picture });
    }
    return;
  }
  const [, index, end] = id.split(" ");
  const length = reference.lengths[Number(index)];
  if (!length) return;
  const moved =
    end === "1" ? { ...length, x1Px: at.xPx, y1Px: at.yPx } : { ...length, x2Px: at.xPx, y2Px: at.yPx };
  attempt(m.session, setKnownLength, {
    trial: m.trial.id,
    index: Number(index),
    length: moved,
    picture: m.picture,
  });
}

/** Moves both ends of a piece, in one step. */
export function movePiece(m: Measuring, moves: readonly [Move, Move]): void {
  const { marks } = trialMarks(m.session.getState().whole, m.trial.id);
  const [first, also] = moves.map(({ id, at }) => {
    const key = marks.find((k) => markId(k) === id);
    return key && { key, ...at };
  });
  if (!first || !also) return;
  m.ui.setState({ selected: null });
  if (isDoubtful(m.index, first.key.frame)) say(DOUBTFUL);
  else attempt(m.session, moveMark, { trial: m.trial.id, ...first, also });
}

/** "This is the frame": picks the event that is asked for. */
export function pickEvent(m: Measuring): void {
  const step = stepNow(m);
  const now = here(m);
  if (step.kind !== "pick-event" || !now) return;
  const { events } = trialMarks(m.session.getState().whole, m.trial.id);
  const at = ({ event, side }: Asked): EventFrame =>
    withCarriedAnswers(events, { event, side, frame: now.frame, time: now.time });
  const [also] = step.also.map(at);
  const pick = { event: at(step), ...(also ? { also } : {}) };
  if (attempt(m.session, setEvent, { trial: m.trial.id, ...pick, picture: now.picture }))
    m.ui.setState({ tool: NO_TOOL, selected: null });
}

/** The event that is being moved is in the frame on screen. */
export function moveEventHere(m: Measuring): void {
  const tool = toolNow(m);
  const now = here(m);
  if (tool.kind !== "move-event" || !now || now.frame === tool.event.frame) return;
  const { event, side, frame: from } = tool.event;
  const { frame: to, time } = now;
  if (attempt(m.session, moveEvent, { trial: m.trial.id, event, side, from, to, time }))
    m.ui.setState({ tool: NO_TOOL });
}

/** The skater's front passes a gate in the frame on screen. */
export function pickGate(m: Measuring, gate: number): void {
  const now = here(m);
  if (!now) return;
  const { frame, time, picture } = now;
  attempt(m.session, setGatePassing, { trial: m.trial.id, gate, at: { frame, time }, picture });
}

export function cannotSee(m: Measuring): void {
  const step = stepNow(m);
  if (step.kind !== "point") return;
  const skip = m.ui.getState().pass.pass > 1 ? skipped(guideInput(m)) : null;
  if (skip !== null) {
    m.ui.setState(({ leftOpen }) => ({ leftOpen: [...leftOpen, skip] }));
    goOn(m);
    return;
  }
  if (step.becomes && !pickNearest(m, step.becomes)) return;
  const notSeen = { frame: m.session.getState().frame, point: step.point, side: step.side };
  if (!attempt(m.session, markNotSeen, { trial: m.trial.id, notSeen })) return;
  letGoOf(m, "ask-point");
  goOn(m);
}

/** The frame is the one in which the blade is nearest, whatever can be seen of it. */
function pickNearest(m: Measuring, becomes: Asked): boolean {
  const now = here(m);
  if (!now) return false;
  const event = { ...becomes, frame: now.frame, time: now.time };
  return attempt(m.session, setEvent, { trial: m.trial.id, event, picture: now.picture });
}

export function answer(m: Measuring, toward: boolean | undefined): void {
  const step = stepNow(m);
  if (step.kind !== "arm-question") return;
  const { event, side, frame } = step.event;
  if (toward === undefined) {
    m.ui.setState(({ leftOpen }) => ({ leftOpen: [...leftOpen, questionKey(step.event, step.joint)] }));
    dismissAll();
  } else if (
    !attempt(m.session, answerArm, { trial: m.trial.id, event, side, frame, joint: step.joint, toward })
  ) {
    return;
  }
  goOn(m);
}

/** Asks for the point before again. */
export function backOne(m: Measuring): void {
  const back = oneBack(guideInput(m));
  if (!back) return;
  const { whole, frame } = m.session.getState();
  const there = trialMarks(whole, m.trial.id).marks.find((k) => sameMark(k, { frame, ...back }));
  m.ui.setState({ tool: { kind: "ask-point", ...back }, selected: there ? markId(there) : null });
}

/** Enter: what the guide's main button does. */
export function doMain(m: Measuring): void {
  const step = stepNow(m);
  if (toolNow(m).kind === "move-event") moveEventHere(m);
  else if (step.kind === "pick-event") pickEvent(m);
  else if (step.kind === "point" && step.becomes) pickNearest(m, step.becomes);
  else if (step.kind === "go-to-event") goToFrame(m.session, m.index, step.event.frame);
}

/** Enter while the scale is set: one from elsewhere fits, or it is done. */
export function doScaleMain(m: Measuring): void {
  const { whole, frame } = m.session.getState();
  const { iceReference, events } = trialMarks(whole, m.trial.id);
  const shared = sharedHere(whole, m.trial.id, m.picture);
  if (isUnchecked(whole, m.trial.id)) attempt(m.session, confirmIceReference, { trial: m.trial.id });
  else if (scaleAdvice(iceReference, toolNow(m), frame, events, shared).done)
    m.ui.setState(toTask("strides"));
}
