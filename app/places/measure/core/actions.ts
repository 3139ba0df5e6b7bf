import type { PicturePoint } from "../../../../src/ice/types.ts";
import type { EventFrame, Mark } from "../../../../src/study/types.ts";
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
import { isDoubtful } from "../../../store/clipFrames.ts";
import { dismissAll, say } from "../../../store/messages.ts";
import { questionKey, withCarriedAnswers } from "../guide/armQuestion.ts";
import { oneBack } from "../guide/guide.ts";
import { skipped } from "../guide/repeatPass.ts";
import type { Asked, AskedPoint } from "../guide/sequence.ts";
import { goToFrame } from "../guide/steps.ts";
import { guideInput, stepNow, toolNow } from "./guideNow.ts";
import { DOUBTFUL, here } from "./hereNow.ts";
import { moveOnIce, placeOnIce } from "./iceActions.ts";
import { passKey } from "./pass.ts";
import { NO_TOOL, type Tool } from "./tool.ts";
import { markId, trialMarks } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

/** What a person does while measuring, as commands on the study and moves in the window. */

/** After an answer: to the next event frame, picked or suggested, once nothing is left to ask here. */
function goOn(m: Pick<Measuring, "session" | "ui" | "trial" | "index">): void {
  let step = stepNow(m);
  if (step.kind === "go-to-event") {
    goToFrame(m.session, m.index, step.event.frame);
    step = stepNow(m);
  }
  if (step.kind === "pick-event" && step.suggested !== null) goToFrame(m.session, m.index, step.suggested);
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

/** Done with that tool; another one that was taken up stays. */
function letGoOf(m: Pick<Measuring, "ui">, kind: Tool["kind"]): void {
  if (m.ui.getState().tool.kind === kind) m.ui.setState({ tool: NO_TOOL });
}

/** Moves what the picture calls `id`: a mark, an ice point or the end of a known length. */
export function moveDrawn(
  m: Pick<Measuring, "session" | "trial" | "index" | "picture">,
  id: string,
  at: PicturePoint,
): void {
  const { marks } = trialMarks(m.session.getState().whole, m.trial.id);
  const mark = marks.find((k) => markId(k) === id);
  if (mark) {
    if (isDoubtful(m.index, mark.frame)) say(DOUBTFUL);
    else attempt(m.session, moveMark, { trial: m.trial.id, key: mark, xPx: at.xPx, yPx: at.yPx });
    return;
  }
  moveOnIce(m, id, at);
}

/** Moves both ends of a piece, in one step. */
export function movePiece(
  m: Pick<Measuring, "session" | "ui" | "trial" | "index">,
  moves: readonly [Move, Move],
): void {
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
export function pickGate(
  m: Pick<Measuring, "session" | "trial" | "index" | "picture" | "onScreen">,
  gate: number,
): void {
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
function pickNearest(
  m: Pick<Measuring, "session" | "trial" | "index" | "picture" | "onScreen">,
  becomes: Asked,
): boolean {
  const now = here(m);
  if (!now) return false;
  const event = { ...becomes, frame: now.frame, time: now.time };
  return attempt(m.session, setEvent, { trial: m.trial.id, event, picture: now.picture });
}

export function answer(
  m: Pick<Measuring, "session" | "ui" | "trial" | "index">,
  toward: boolean | undefined,
): void {
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
export function backOne(m: Pick<Measuring, "session" | "ui" | "trial" | "index">): void {
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
