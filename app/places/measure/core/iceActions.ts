import type { PicturePoint } from "../../../../src/ice/types.ts";
import { confirmIceReference } from "../../../commands/ice/confirmIceReference.ts";
import { byEye, icePointsOn } from "../../../commands/ice/icePoints.ts";
import { putOnLine } from "../../../commands/ice/putOnLine.ts";
import { recheckIcePoint } from "../../../commands/ice/recheckIcePoint.ts";
import { setIcePoint } from "../../../commands/ice/setIcePoint.ts";
import { setKnownLength } from "../../../commands/ice/setKnownLength.ts";
import { attempt } from "../../../store/attempt.ts";
import { offeredPoints, type PuttingPoints, pointAfter } from "../scale/offeredPoints.ts";
import { scaleAdvice } from "../scale/scaleAdvice.ts";
import { isUnchecked } from "../scale/scaleHere.ts";
import { sharedHere } from "../scale/sharedHere.ts";
import { toolNow } from "./guideNow.ts";
import { here } from "./hereNow.ts";
import { iceScale } from "./iceScale.ts";
import { markPoint, NO_TOOL, type Tool, toTask } from "./tool.ts";
import { trialMarks } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

/** What a person does while the scale of the ice is set. */

/** A press on the picture: what the tool in hand puts there. */
export function placeOnIce(
  m: Pick<Measuring, "session" | "ui" | "trial" | "picture">,
  at: PicturePoint,
  picture: NonNullable<Measuring["picture"]>,
): void {
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
    case "line": {
      const { length } = trialMarks(m.session.getState().whole, trial).straightLines ?? [];
      const line = tool.line ?? length;
      if (attempt(m.session, putOnLine, { trial, line: tool.line, at, frame, picture }))
        m.ui.setState({ tool: { kind: "line", line } });
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

/** As things are now, not as they were when the window was last drawn. */
export function puttingPoints(m: Pick<Measuring, "session" | "ui" | "trial" | "picture">): PuttingPoints {
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
function askAfter(m: Pick<Measuring, "session" | "ui" | "trial" | "picture">, label: string): Tool {
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

/** Enter while the scale is set: one from elsewhere fits, or it is done. */
export function doScaleMain(m: Pick<Measuring, "session" | "ui" | "trial" | "picture">): void {
  const { whole, frame } = m.session.getState();
  const { iceReference, events } = trialMarks(whole, m.trial.id);
  const shared = sharedHere(whole, m.trial.id, m.picture);
  if (toolNow(m).kind === "line") {
    m.ui.setState({ tool: NO_TOOL });
    return;
  }
  if (isUnchecked(whole, m.trial.id)) attempt(m.session, confirmIceReference, { trial: m.trial.id });
  else if (scaleAdvice(iceReference, toolNow(m), frame, events, { shared }).done)
    m.ui.setState(toTask("strides"));
}

/** Moves an ice point, or the end of a known length. */
export function moveOnIce(
  m: Pick<Measuring, "session" | "trial" | "picture">,
  id: string,
  at: PicturePoint,
): void {
  const { whole, frame } = m.session.getState();
  const reference = trialMarks(whole, m.trial.id).iceReference;
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
