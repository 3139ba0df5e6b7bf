import type { ClipIndex } from "../../../../src/study/exchange.ts";
import { firstFrame, knownEnd, lastFrame } from "../../../store/clipFrames.ts";
import type { Session } from "../../../store/session.ts";

/** Goes there, at most to the clip's end once that is known: an estimate holds nobody back who names a frame. */
export function goToFrame(session: Session, index: ClipIndex | null, frame: number): void {
  const clamped = Math.max(firstFrame(index), Math.min(knownEnd(index), Math.round(frame)));
  if (Number.isFinite(clamped) && clamped !== session.getState().frame) session.setState({ frame: clamped });
}

export function step(session: Session, index: ClipIndex | null, by: number): void {
  const { frame } = session.getState();
  // A key that is held does not run on past where the clip seems to end.
  goToFrame(session, index, Math.min(frame + by, Math.max(frame, lastFrame(index))));
}
