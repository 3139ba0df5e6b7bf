import { useMemo } from "react";
import type { EventFrame } from "../../../../src/study/types.ts";
import { likelyFrames } from "../guide/likelyFrames.ts";
import { depthOf } from "../guide/sequence.ts";
import { othersRhythm } from "./guideNow.ts";
import { type Proposal, proposals } from "./proposals.ts";
import type { Measuring } from "./useMeasure.ts";

/** The ribbon shows so many. */
const SHOWN = 4;
/** So many of them are decoded before one goes there. */
const LIKELY = 2;
const NO_TIMES: readonly number[] = [];

type From = Pick<Measuring, "whole" | "trial" | "marks" | "index">;

/** The next events to come by the rhythm of the trial and of the study's other trials. */
export function useProposed({ whole, trial, marks, index }: From): readonly Proposal[] {
  const { events } = marks;
  const times = index?.times ?? NO_TIMES;
  const { speedFactor } = trial;
  const depth = depthOf(whole.study);
  const others = othersRhythm(whole, trial.id);
  return useMemo(
    () => proposals({ events, times, depth, speedFactor, others }, SHOWN),
    [events, times, depth, speedFactor, others],
  );
}

/** Frames one is likely to go to next. */
export function useLikely(
  events: readonly EventFrame[],
  proposed: readonly Proposal[],
  frame: number,
): readonly number[] {
  return useMemo(() => {
    const soon = proposed.slice(0, LIKELY).map((p) => p.frame);
    return likelyFrames(events, frame, soon);
  }, [events, frame, proposed]);
}
