import { clockOf } from "../study/trialViews.ts";
import type { Trial } from "../study/types.ts";
import { timeText } from "./readTime.ts";

/** Half of the last digit a display shows, seconds: nearer than this is the same number. */
const SAME = 0.0005;

/**
 * What to ask where the display of a trial's clock and the typed time say different things: a question, for neither is changed by
 * it. Null where nobody read the display, nothing is typed, or both agree.
 */
export function clockQuestion(trial: Trial): string | null {
  const shows = clockOf(trial)?.shows;
  if (shows === undefined || trial.time === null || Math.abs(shows - trial.time) < SAME) return null;
  return `The display shows ${timeText(shows)}, typed is ${timeText(trial.time)}. Which one is right?`;
}
