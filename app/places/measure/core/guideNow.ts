import type { WholeStudy } from "../../../../src/study/types.ts";
import { doubtedAnswers } from "../guide/doubtedAnswers.ts";
import { guide } from "../guide/guide.ts";
import type { GuideInput, GuideStep } from "../guide/guideStep.ts";
import { type Rhythm, rhythmOfOthers } from "../guide/rhythm.ts";
import { depthOf } from "../guide/sequence.ts";
import { standing, type Tool } from "./tool.ts";
import { trialMarks } from "./trialView.ts";
import type { Measuring } from "./useMeasure.ts";

/** What the guide asks for as things are now, not as they were when the window was last drawn. */

type Now = Pick<Measuring, "session" | "ui" | "trial" | "index">;

/** What was taken up. */
export function toolNow({ session, ui, trial }: Pick<Measuring, "session" | "ui" | "trial">): Tool {
  return standing(ui.getState().tool, trialMarks(session.getState().whole, trial.id));
}

let others: { readonly whole: WholeStudy; readonly trial: string; readonly rhythm: Rhythm | null } | null =
  null;

/** Remembered for one study, because it is asked for at every frame. */
export function othersRhythm(whole: WholeStudy, trial: string): Rhythm | null {
  if (others?.whole !== whole || others.trial !== trial)
    others = { whole, trial, rhythm: rhythmOfOthers(whole, trial) };
  return others.rhythm;
}

export function guideInput({ session, ui, trial, index }: Now): GuideInput {
  const { whole, frame } = session.getState();
  const { tool, leftOpen, pass } = ui.getState();
  const marks = trialMarks(whole, trial.id);
  return {
    marks,
    frame,
    times: index?.times ?? [],
    speedFactor: trial.speedFactor,
    depth: depthOf(whole.study),
    doubted: doubtedAnswers(whole, marks, frame),
    others: othersRhythm(whole, trial.id),
    override: tool.kind === "ask-event" ? tool.asked : null,
    askAgain: tool.kind === "ask-point" ? tool : null,
    leftOpen,
    pass,
  };
}

let last: { readonly of: readonly unknown[]; readonly step: GuideStep } | null = null;

/** The question. Remembered, because the strip, the picture and the keys all ask for it at every frame. */
export function stepNow(m: Now): GuideStep {
  const { whole, frame } = m.session.getState();
  const of = [whole, frame, m.ui.getState(), m.trial, m.index];
  if (!last?.of.every((part, i) => part === of[i])) last = { of, step: guide(guideInput(m)) };
  return last.step;
}
