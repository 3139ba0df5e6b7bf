import type { ClipIndex } from "../../src/study/exchange.ts";

/** "120 of about 480 frames, 6 s left"; "1 frame" while nothing tells how many there are. */
export function progressWords({ progress, countIsExact }: ClipIndex): string {
  const { done, of, secondsLeft } = progress;
  if (of === 0) return `${done} ${done === 1 ? "frame" : "frames"}`;
  const about = countIsExact ? "" : "about ";
  const left = secondsLeft === null ? "" : `, ${timeLeft(secondsLeft)} left`;
  return `${done} of ${about}${of} frames${left}`;
}

function timeLeft(seconds: number): string {
  return seconds < 90 ? `${Math.max(1, Math.round(seconds))} s` : `${Math.round(seconds / 60)} min`;
}

/** Why a clip that waits does so. */
export function queueWords({ queue }: ClipIndex): string {
  if (!queue) return "Waiting to prepare this clip";
  return `Waiting: ${queue} ${queue === 1 ? "clip is" : "clips are"} prepared first`;
}

/** Share of what is asked for that is prepared, 0 to 1. */
export function preparedShare({ progress: { done, of } }: ClipIndex): number {
  return of > 0 ? Math.min(1, done / of) : 0;
}
