import { useMemo } from "react";
import type { Scale } from "../../../../src/ice/types.ts";
import { FIRST_PASS, ofPass } from "./pass.ts";
import { type SkaterPath, skaterPath } from "./skaterPath.ts";
import type { Measuring } from "./useMeasure.ts";

/** Where a clip does not say. */
const USUAL_HZ = 60;

type From = Pick<Measuring, "whole" | "trial" | "marks" | "index">;

/** Where the skater is, from the marks of the first pass. */
export function useSkater({ whole, trial, marks: trialMarks, index }: From, scale: Scale | null): SkaterPath {
  const { marks, events } = trialMarks;
  const { time, speedFactor } = trial;
  const ratePerS = (index?.rateMedianHz ?? USUAL_HZ) * speedFactor;
  const speed = time === null ? 0 : whole.study.lane.distance / time;
  return useMemo(
    () => skaterPath({ marks: marks.filter((k) => ofPass(k, FIRST_PASS)), events, scale, ratePerS, speed }),
    [marks, events, scale, ratePerS, speed],
  );
}
