import type { EventFrame, PointName, Side, TrialMarks } from "../../../../src/study/types.ts";
import { capital } from "../../../../src/words.ts";
import { eventWords, pointWords } from "../../../commands/words.ts";
import { FIRST_PASS, markInPass } from "../core/pass.ts";
import { proposals } from "../core/proposals.ts";
import type { GuideInput, GuideStep } from "./guideStep.ts";
import { repeatStep } from "./repeatPass.ts";
import { type Asked, type Depth, nextAsked, orderedEvents, pointsOnFrame } from "./sequence.ts";

export function questionKey(event: EventFrame, joint: "elbow" | "wrist"): string {
  return `${event.event} ${event.side} ${event.frame} ${joint}`;
}

export function guide(input: GuideInput): GuideStep {
  if (input.pass.pass > 1) return repeatStep(input);
  return pointStep(input) ?? armQuestion(input) ?? eventStep(input);
}

export type PointState = "marked" | "not-seen" | "open";

export function pointState(
  marks: TrialMarks,
  frame: number,
  p: { point: PointName; side: Side },
): PointState {
  if (markInPass(marks.marks, { frame, ...p }, FIRST_PASS)) return "marked";
  const notSeen = marks.notSeen?.some((n) => n.frame === frame && n.point === p.point && n.side === p.side);
  return notSeen ? "not-seen" : "open";
}

function pointStep({ marks, frame, depth, askAgain }: GuideInput): GuideStep | null {
  const here = marks.events.filter((e) => e.frame === frame);
  const wanted = pointsOnFrame(marks.events, frame, depth);
  const again = askAgain && wanted.some((p) => p.point === askAgain.point && p.side === askAgain.side);
  const next = again ? askAgain : wanted.find((p) => pointState(marks, frame, p) === "open");
  if (!next) return null;
  const place = wanted.findIndex((p) => p.point === next.point && p.side === next.side);
  const last = wanted[place - 1];
  const names = here.map((e) => eventWords(e.event, e.side)).join(" and ");
  const lastWords =
    last && pointState(marks, frame, last) === "marked"
      ? ` Last was ${pointWords(last.point, last.side)}.`
      : "";
  return {
    kind: "point",
    ...next,
    title: capital(pointWords(next.point, next.side)),
    hint: `${capital(names)}. Press it on the frame: ${WHERE[next.point]}${lastWords}`,
    replaces: markInPass(marks.marks, { frame, point: next.point, side: next.side }, FIRST_PASS) ?? null,
    done: wanted.filter((p) => pointState(marks, frame, p) !== "open").length,
    of: wanted.length,
  };
}

const WHERE: Record<PointName, string> = {
  blade_heel: "where the runner ends at the heel, low on the steel.",
  blade_toe: "where the runner ends at the toe, low on the steel.",
  hip: "the hip joint, where the leg turns.",
  shoulder: "the middle of the shoulder joint.",
  elbow: "the middle of the elbow.",
  wrist: "the middle of the wrist.",
};

function armQuestion({ marks, frame, leftOpen }: GuideInput): GuideStep | null {
  for (const event of marks.events) {
    if (event.frame !== frame || (event.event !== "arm_front" && event.event !== "arm_back")) continue;
    const elbow = event.elbowTowardCamera === undefined && !leftOpen.includes(questionKey(event, "elbow"));
    const wrist = event.wristTowardCamera === undefined && !leftOpen.includes(questionKey(event, "wrist"));
    if (!elbow && !wrist) continue;
    const joint = elbow ? "elbow" : "wrist";
    const above = elbow ? "shoulder" : "elbow";
    return {
      kind: "arm-question",
      event,
      joint,
      title: `Is the ${event.side} ${joint} nearer the camera than the ${above}?`,
      hint: "One picture can't show it, and a wrong answer turns the swing by tens of degrees. Step a few frames to see how the arm moves.",
    };
  }
  return null;
}

function eventStep(input: GuideInput): GuideStep {
  const { marks, frame, times, depth, speedFactor, override } = input;
  const ordered = orderedEvents(marks.events, depth);
  const before = ordered.filter((e) => e.frame <= frame).at(-1);
  const after = ordered.find((e) => e.frame > frame);
  const first: Asked = { event: depth === "arms" ? "arm_front" : "blade_off", side: "left" };
  const natural = before ? nextAsked(before, depth) : first;
  const inOrder = before === undefined || (natural.event === after?.event && natural.side === after.side);
  if (after && !override && inOrder) {
    return {
      kind: "go-to-event",
      event: after,
      title: `${before ? "Next" : "First"}: ${eventWords(after.event, after.side)}`,
      hint: before
        ? `It is already picked, at frame ${after.frame}. Go there, or step on if this was the wrong place.`
        : `Picked at frame ${after.frame}. Go there; if you can see a push before it, choose something else.`,
    };
  }
  const asked = override ?? natural;
  const suggested = before
    ? (proposals(
        ordered.filter((e) => e.frame <= before.frame),
        times,
        depth,
        speedFactor,
        1,
      )[0]?.frame ?? null)
    : null;
  return {
    kind: "pick-event",
    ...asked,
    title: capital(eventWords(asked.event, asked.side)),
    hint: pickHint(asked, before === undefined) + endHint(input, ordered, before),
    suggested:
      suggested !== frame && !(after && suggested !== null && suggested >= after.frame) ? suggested : null,
  };
}

/** When the rhythm leads past the end of the clip. */
function endHint(
  { times, depth, speedFactor }: GuideInput,
  ordered: readonly EventFrame[],
  before?: EventFrame,
): string {
  if (!before || before !== ordered.at(-1) || times.length === 0) return "";
  const ahead = proposals(ordered, times, depth, speedFactor, 1);
  return ahead.length > 0
    ? ""
    : " By the rhythm so far the clip ends before it; if you see no more, this trial is marked.";
}

function pickHint({ event, side }: Asked, first: boolean): string {
  const start = first ? "Begin at the first push you can see well. " : "";
  switch (event) {
    case "blade_off":
      return `${start}Step to the last frame in which the ${side} blade, the one that pushes, still touches the ice.`;
    case "blade_on":
      return `Step to the first frame in which the ${side} blade touches the ice again.`;
    case "recovery_min":
      return `Step to the frame in which the ${side} blade, in the air, is nearest the middle of the body.`;
    case "arm_front":
      return `Step to the frame in which the ${side} hand is farthest forward, where it turns back.`;
    case "arm_back":
      return `Step to the frame in which the ${side} hand is farthest back, where it turns forward.`;
  }
}

/** Event frames of this pass that still have points to mark, by frame. */
export function openFrames(marks: TrialMarks, depth: Depth): readonly number[] {
  const frames = [...new Set(orderedEvents(marks.events, depth).map((e) => e.frame))];
  return frames.filter((f) =>
    pointsOnFrame(marks.events, f, depth).some((p) => pointState(marks, f, p) === "open"),
  );
}

/** The point before the one asked for, to answer it again; null at the first. */
export function oneBack(input: GuideInput): { point: PointName; side: Side } | null {
  if (input.pass.pass > 1) return null;
  const wanted = pointsOnFrame(input.marks.events, input.frame, input.depth);
  if (wanted.length === 0) return null;
  const step = pointStep(input);
  const place =
    step?.kind === "point"
      ? wanted.findIndex((p) => p.point === step.point && p.side === step.side)
      : wanted.length;
  return wanted[place - 1] ?? null;
}
