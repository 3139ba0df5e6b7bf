import { median } from "../../../../src/statistics/median.ts";
import type { TrialMarks } from "../../../../src/study/types.ts";
import { goToPlace, goToTrial } from "../../../store/session.ts";
import { nextUnmarked, trialState } from "../../../store/trialState.ts";
import { stepNow } from "./guideNow.ts";
import { trialMarks } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

/** The next stride may take so much longer than they do as a rule. */
const SLOWER = 1.25;

/**
 * How many strides are marked, once one stands behind the last of them and the clip ends before another could come, or one
 * went past where it should have come; null = there is more to ask, or the person said that there is.
 */
export function markedHere(m: Measuring): number | null {
  if (m.readOnly) return null;
  const { whole, frame } = m.session.getState();
  const marks = trialMarks(whole, m.trial.id);
  const state = trialState(m.trial, marks);
  const { markOn, pass, tool } = m.ui.getState();
  if (state.kind !== "marked" || markOn || pass.pass > 1 || tool.kind !== "none" || !m.index?.countIsExact)
    return null;
  const last = marks.events.reduce((most, e) => Math.max(most, e.frame), 0);
  const end = m.index.times.at(-1);
  const next = nextOff(marks);
  const beyond = (m.index.times[frame] ?? 0) > next;
  if (frame < last || end === undefined || (next < end && !beyond)) return null;
  return stepNow(m).kind === "pick-event" ? state.strides : null;
}

/** To the next trial that is to be marked, or on to Compare. */
export function goOnFromMarked(m: Measuring): void {
  const next = nextUnmarked(m.session.getState().whole, m.trial.id);
  if (next) goToTrial(m.session, next.id);
  else goToPlace(m.session, "compare");
}

/** When the next blade would leave the ice by the rhythm of those before, clip seconds. */
function nextOff({ events }: TrialMarks): number {
  const times = events.flatMap((e) => (e.event === "blade_off" ? [e.time] : [])).sort((a, b) => a - b);
  const gaps = times.slice(1).map((t, i) => t - (times[i] as number));
  return (times.at(-1) ?? 0) + SLOWER * (gaps.length > 0 ? median(gaps) : 0);
}
