import type { Mark, PointName, TrialMarks } from "../../../../src/study/types.ts";
import { capital } from "../../../../src/words.ts";
import { eventWords, pointWords } from "../../../commands/words.ts";
import { FIRST_PASS, markInPass } from "../core/pass.ts";
import { armQuestion } from "./armQuestion.ts";
import { eventStep, nearestByItself } from "./eventStep.ts";
import { hasOpenPoints, pointState, pointsOnFrame } from "./framePoints.ts";
import type { GuideInput, GuideStep } from "./guideStep.ts";
import { otherEnd } from "./pieces.ts";
import { repeatStep } from "./repeatPass.ts";
import { type Asked, type AskedPoint, type Depth, orderedEvents } from "./sequence.ts";

export function guide(input: GuideInput): GuideStep {
  if (input.pass.pass > 1) return repeatStep(input);
  return pointStep(input) ?? armQuestion(input) ?? nearestStep(input) ?? eventStep(input);
}

function pointStep(input: GuideInput): GuideStep | null {
  const { marks, frame, depth, askAgain } = input;
  const wanted = pointsOnFrame(marks, frame, depth);
  const again = askAgain && isIn(wanted, askAgain);
  const next = again ? askAgain : wanted.find((p) => pointState(marks, frame, p) === "open");
  if (!next) return null;
  const last = wanted[place(wanted, next) - 1];
  const names = marks.events
    .filter((e) => e.frame === frame && orderedEvents([e], depth).length > 0)
    .map((e) => eventWords(e.event, e.side))
    .join(" and ");
  const lastWords =
    last && pointState(marks, frame, last) === "marked"
      ? ` Last was ${pointWords(last.point, last.side)}.`
      : "";
  return pointOf(input, wanted, next, { before: `${capital(names)}. `, after: lastWords, becomes: null });
}

/**
 * A blade in the air in a frame that is likely to be the one in which it is nearest: whoever sees that it is puts the
 * blade, which picks the frame as well; whoever sees that it is not goes on to a better one first.
 */
function nearestStep(input: GuideInput): GuideStep | null {
  const becomes = nearestByItself(input);
  if (!becomes) return null;
  const { marks, frame, depth } = input;
  const there = { ...marks, events: [...marks.events, { ...becomes, frame, time: 0 }] };
  const wanted = pointsOnFrame(there, frame, depth);
  const next = wanted.find((p) => pointState(marks, frame, p) === "open");
  if (!next) return null;
  const words = `${capital(eventWords(becomes.event, becomes.side))}, if this frame shows it; else step to the one that does. `;
  return pointOf(input, wanted, next, { before: words, after: "", becomes });
}

function pointOf(
  { marks, frame }: GuideInput,
  wanted: readonly AskedPoint[],
  next: AskedPoint,
  said: { readonly before: string; readonly after: string; readonly becomes: Asked | null },
): GuideStep {
  const { before, after, becomes } = said;
  const end = otherEnd(next);
  const replaces = (p: AskedPoint): Mark | null =>
    markInPass(marks.marks, { frame, point: p.point, side: p.side }, FIRST_PASS) ?? null;
  return {
    kind: "point",
    point: next.point,
    side: next.side,
    title: capital(pointWords(next.point, next.side)),
    hint: `${before}Press it on the frame: ${WHERE[next.point]}${after}`,
    replaces: replaces(next),
    dragsTo: end && isIn(wanted, end) ? { ...end, replaces: replaces(end) } : null,
    becomes,
    done: wanted.filter((p) => pointState(marks, frame, p) !== "open").length,
    of: wanted.length,
  };
}

const place = (wanted: readonly AskedPoint[], p: AskedPoint) =>
  wanted.findIndex((w) => w.point === p.point && w.side === p.side);
const isIn = (wanted: readonly AskedPoint[], p: AskedPoint) => place(wanted, p) >= 0;

const WHERE: Record<PointName, string> = {
  blade_heel: "where the runner ends at the heel, low on the steel.",
  blade_toe: "where the runner ends at the toe, low on the steel.",
  hip: "the hip joint, where the leg turns.",
  shoulder: "the middle of the shoulder joint.",
  elbow: "the middle of the elbow.",
  wrist: "the middle of the wrist.",
};

/** Event frames of this depth that still have points to mark, by frame. */
export function openFrames(marks: TrialMarks, depth: Depth): readonly number[] {
  const frames = [...new Set(orderedEvents(marks.events, depth).map((e) => e.frame))];
  return frames.filter((f) => hasOpenPoints(marks, depth, f));
}

/** The point before the one asked for, to answer it again; null at the first. */
export function oneBack(input: GuideInput): AskedPoint | null {
  if (input.pass.pass > 1) return null;
  const wanted = pointsOnFrame(input.marks, input.frame, input.depth);
  if (wanted.length === 0) return null;
  const step = pointStep(input);
  return wanted[step?.kind === "point" ? place(wanted, step) - 1 : wanted.length - 1] ?? null;
}
