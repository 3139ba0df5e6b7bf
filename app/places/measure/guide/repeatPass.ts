import type { EventName, Mark, TrialMarks } from "../../../../src/study/types.ts";
import { capital } from "../../../../src/words.ts";
import { eventWords, pointWords } from "../../../commands/words.ts";
import { FIRST_PASS, markInPass, ofPass, type Pass } from "../core/pass.ts";
import type { GuideInput, GuideStep } from "./guideStep.ts";
import { otherEnd } from "./pieces.ts";

/** Points of a frame's first pass, in the order in which they were put. */
function firstPoints(marks: TrialMarks, frame: number): readonly Mark[] {
  return marks.marks.filter((m) => m.frame === frame && ofPass(m, FIRST_PASS));
}

function skipKey(m: Mark, { pass, observer }: Pass): string {
  return `again ${pass} ${observer} ${m.frame} ${m.point} ${m.side}`;
}

function openPoints({ marks, leftOpen }: GuideInput, frame: number, pass: Pass): readonly Mark[] {
  return firstPoints(marks, frame).filter(
    (m) => !markInPass(marks.marks, m, pass) && !leftOpen.includes(skipKey(m, pass)),
  );
}

/** The point that is asked for now, to be left out; null when none is. */
export function skipped(input: GuideInput): string | null {
  const [next] = openPoints(input, input.frame, input.pass);
  return next ? skipKey(next, input.pass) : null;
}

/** Blades' events are named before arms' where both fall on one frame. */
const rank = (event: EventName) => (event === "arm_front" || event === "arm_back" ? 1 : 0);

/** What to ask while a trial is marked again: the points of the first pass, frame by frame, nothing else. */
export function repeatStep(input: GuideInput): GuideStep {
  const { marks, frame, pass } = input;
  const events = [...marks.events].sort((a, b) => rank(a.event) - rank(b.event) || a.frame - b.frame);
  const here = events.filter((e) => e.frame === frame);
  const [next] = here.length > 0 ? openPoints(input, frame, pass) : [];
  if (next) {
    const all = firstPoints(marks, frame).length;
    const open = openPoints(input, frame, pass);
    const end = otherEnd(next);
    const isOpen = open.some((p) => p.point === end?.point && p.side === end.side);
    return {
      kind: "point",
      point: next.point,
      side: next.side,
      title: capital(pointWords(next.point, next.side)),
      hint: `${capital(here.map((e) => eventWords(e.event, e.side)).join(" and "))}, marked again: the marks before are hidden, so that these are a fresh look.`,
      replaces: null,
      dragsTo: end && isOpen ? { ...end, replaces: null } : null,
      becomes: null,
      done: all - open.length,
      of: all,
    };
  }
  const open = events
    .filter((e) => openPoints(input, e.frame, pass).length > 0)
    .sort((a, b) => a.frame - b.frame);
  const event = open.find((e) => e.frame > frame) ?? open[0];
  if (event) {
    return {
      kind: "go-to-event",
      event,
      title: `Next: frame ${event.frame}`,
      hint: `${capital(eventWords(event.event, event.side))}, to be marked again.`,
    };
  }
  return {
    kind: "all-again",
    title: "Everything is marked again",
    hint: "How well the marks repeat stands under the numbers, and the intervals use it from now on.",
  };
}
