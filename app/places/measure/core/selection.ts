import { removeIcePoint } from "../../../commands/ice/removeIcePoint.ts";
import { removeKnownLength } from "../../../commands/ice/removeKnownLength.ts";
import { removeMark } from "../../../commands/marks/removeMark.ts";
import type { DrawnMark } from "../../../picture/drawnMark.ts";
import { rounded } from "../../../picture/drawnMark.ts";
import { attempt } from "../../../store/attempt.ts";
import { moveDrawn } from "./actions.ts";
import { drawnIce, drawnOnFrame, markId, trialMarks } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

/** What the picture shows on this frame and lets a person take hold of. */
function drawnHere(m: Pick<Measuring, "session" | "ui" | "trial">): readonly DrawnMark[] {
  const { whole, frame } = m.session.getState();
  const { task, pass } = m.ui.getState();
  const marks = trialMarks(whole, m.trial.id);
  return task === "scale" ? drawnIce(marks, frame) : drawnOnFrame(marks, frame, pass);
}

/** Selects the mark after the selected one, round and round; the first when none is. */
export function selectNext(m: Pick<Measuring, "session" | "ui" | "trial">): void {
  const here = drawnHere(m);
  const now = here.findIndex((d) => d.id === m.ui.getState().selected);
  m.ui.setState({ selected: here[(now + 1) % here.length]?.id ?? null });
}

/** Moves the selected mark by (dx, dy) picture px. False when nothing on this frame is selected. */
export function nudge(
  m: Pick<Measuring, "session" | "ui" | "trial" | "index" | "picture">,
  dx: number,
  dy: number,
): boolean {
  const { selected } = m.ui.getState();
  const target = drawnHere(m).find((d) => d.id === selected);
  if (!target) return false;
  moveDrawn(m, target.id, rounded({ xPx: target.xPx + dx, yPx: target.yPx + dy }));
  return true;
}

/** Removes the selected mark, ice point or known length of this frame. */
export function removeSelected(m: Pick<Measuring, "session" | "ui" | "trial">): void {
  const { selected } = m.ui.getState();
  const target = drawnHere(m).find((d) => d.id === selected);
  if (!target) return;
  const { whole, frame } = m.session.getState();
  const { marks, iceReference } = trialMarks(whole, m.trial.id);
  const trial = m.trial.id;
  const mark = marks.find((k) => markId(k) === target.id);
  if (mark) attempt(m.session, removeMark, { trial, key: mark });
  else if (iceReference?.kind === "known-lengths")
    attempt(m.session, removeKnownLength, { trial, index: Number(target.id.split(" ")[1]) });
  else attempt(m.session, removeIcePoint, { trial, frame, label: target.label });
  m.ui.setState({ selected: null });
}
