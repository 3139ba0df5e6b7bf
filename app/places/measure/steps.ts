import type { ClipIndex } from "../../../src/study/exchange.ts";
import type { Session } from "../../store/session.ts";

/** Last frame one can go to: the clip's end, or as far as is known of it. */
export function lastFrame(index: ClipIndex | null): number {
  if (!index) return 0;
  return Math.max(0, (index.countIsExact ? index.count : Math.max(index.ready, index.count)) - 1);
}

export function goToFrame(session: Session, index: ClipIndex | null, frame: number): void {
  const clamped = Math.max(0, Math.min(lastFrame(index), Math.round(frame)));
  if (Number.isFinite(clamped) && clamped !== session.getState().frame) session.setState({ frame: clamped });
}

export function step(session: Session, index: ClipIndex | null, by: number): void {
  goToFrame(session, index, session.getState().frame + by);
}
