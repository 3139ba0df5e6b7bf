import type { ClipIndex } from "../../../../src/study/exchange.ts";
import { firstFrame, lastFrame } from "../../../store/clipFrames.ts";
import type { Session } from "../../../store/session.ts";

export function goToFrame(session: Session, index: ClipIndex | null, frame: number): void {
  const clamped = Math.max(firstFrame(index), Math.min(lastFrame(index), Math.round(frame)));
  if (Number.isFinite(clamped) && clamped !== session.getState().frame) session.setState({ frame: clamped });
}

export function step(session: Session, index: ClipIndex | null, by: number): void {
  goToFrame(session, index, session.getState().frame + by);
}
