import { isDoubtful, timeOf } from "../../../store/clipFrames.ts";
import { say } from "../../../store/messages.ts";
import type { Measuring } from "./useMeasure.ts";

/** Whether something can be put on the frame that is on the screen, and why not. */

export const NOT_THERE =
  "This frame is not on the screen yet, so nothing was marked. Marks can be put as soon as it is.";

export const DOUBTFUL =
  "The clip is damaged here: this picture may be put together from others, so nothing can be marked on it. Choose a frame before or after.";

/** Why a press on the picture was refused. */
export function sayRefused(m: Pick<Measuring, "session" | "index" | "onScreen">): void {
  const { frame } = m.session.getState();
  say(m.onScreen.current?.frame === frame && isDoubtful(m.index, frame) ? DOUBTFUL : NOT_THERE);
}

/** Picture and clip time to put things on at the current frame; null (and a sentence) when there is none. */
export function here(
  m: Pick<Measuring, "session" | "trial" | "index" | "picture" | "onScreen">,
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
