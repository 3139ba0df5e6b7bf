import { median } from "../../../../src/statistics/median.ts";
import type { ClipIndex } from "../../../../src/study/exchange.ts";
import type { TrialMarks } from "../../../../src/study/types.ts";
import { goToPlace, goToTrial } from "../../../store/session.ts";
import { nextUnmarked, trialState } from "../../../store/trialState.ts";
import { allMarked } from "../guide/allMarked.ts";
import { other } from "../guide/sequence.ts";
import { goToFrame } from "../guide/steps.ts";
import { guideInput, stepNow } from "./guideNow.ts";
import { trialMarks } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

/** The next stride may take so many times as long as they do as a rule. */
const SLOWER = 1.25;
/** Whoever stops marking leaves out fewer at the end, where the skater leaves the lane or the picture. */
const LEFT_OUT = 3;

/** A trial of which nothing is left to ask, and where in it one is. */
export interface Marked {
  readonly strides: number;
  readonly at: "before" | "within" | "after";
  /** The clip goes on so long that another push may be seen after the last one. */
  readonly goesOn: boolean;
}

/**
 * What is said of a trial that is marked. At its end: the clip ends before another stride could come, or one went past where it
 * should have come. Before: nothing is left to ask of what is picked, and hardly more could come. null = there is more to ask, or the person said that there is.
 */
export function markedHere(
  m: Pick<Measuring, "session" | "ui" | "trial" | "index" | "readOnly">,
): Marked | null {
  if (m.readOnly || !m.index) return null;
  const { whole, frame } = m.session.getState();
  const marks = trialMarks(whole, m.trial.id);
  const state = trialState(m.trial, marks);
  const { markOn: asksOn, pass, tool } = m.ui.getState();
  if (state.kind !== "marked" || asksOn || pass.pass > 1 || tool.kind !== "none") return null;
  const step = stepNow(m);
  if (step.kind !== "pick-event" && step.kind !== "go-to-event") return null;
  const { strides } = state;
  const frames = marks.events.map((e) => e.frame);
  const [first, last] = [Math.min(...frames), Math.max(...frames)];
  const pushes = pushesAfter(marks);
  const more = pushes(endOf(m.index));
  const goesOn = more > SLOWER;
  const beyond = pushes(m.index.times[frame] ?? 0) > SLOWER;
  if (frame >= last && step.kind === "pick-event" && (!goesOn || beyond))
    return { strides, at: "after", goesOn };
  if (frame >= last || more >= LEFT_OUT || !allMarked(guideInput(m))) return null;
  return { strides, at: frame < first ? "before" : "within", goesOn };
}

/** When the clip ends, clip seconds: what its file says, until all of it is known. */
function endOf({ times, countIsExact, part, lasts }: ClipIndex): number {
  const end = countIsExact ? times.at(-1) : part === null ? lasts : null;
  return end ?? Number.POSITIVE_INFINITY;
}

/** What Enter does then: on to the next event, or from the last one to the next trial. */
export function goOnMarked(m: Pick<Measuring, "session" | "trial" | "index">, { at }: Marked): void {
  if (at === "after") goOnFromMarked(m);
  else toEvent(m, 1);
}

/** There is more to mark: another push after the last one, or one before the first, which is the other blade's. */
export function markOn(
  { session, ui, trial }: Pick<Measuring, "session" | "ui" | "trial">,
  { at }: Marked,
): void {
  const { events } = trialMarks(session.getState().whole, trial.id);
  const [first] = events.filter((e) => e.event === "blade_off").sort((a, b) => a.frame - b.frame);
  const asked = at === "before" && first ? { event: "blade_off" as const, side: other(first.side) } : null;
  ui.setState({ markOn: true, ...(asked && { tool: { kind: "ask-event", asked } }) });
}

/** To the next event frame before or after this one. */
export function toEvent(
  { session, trial, index }: Pick<Measuring, "session" | "trial" | "index">,
  direction: 1 | -1,
): void {
  const { whole, frame } = session.getState();
  const frames = trialMarks(whole, trial.id).events.map((e) => e.frame);
  const next =
    direction === 1
      ? Math.min(...frames.filter((f) => f > frame))
      : Math.max(...frames.filter((f) => f < frame));
  if (Number.isFinite(next)) goToFrame(session, index, next);
}

/** To the next trial that is to be marked, or on to Compare. */
export function goOnFromMarked(m: Pick<Measuring, "session" | "trial">): void {
  const next = nextUnmarked(m.session.getState().whole, m.trial.id);
  if (next) goToTrial(m.session, next.id);
  else goToPlace(m.session, "compare");
}

/** How many pushes could come between the last one and a moment by the rhythm of those before, clip seconds. */
function pushesAfter({ events }: TrialMarks): (until: number) => number {
  const times = events.flatMap((e) => (e.event === "blade_off" ? [e.time] : [])).sort((a, b) => a - b);
  const gaps = times.slice(1).map((t, i) => t - (times[i] as number));
  return (until) => (until - (times.at(-1) ?? 0)) / median(gaps);
}
