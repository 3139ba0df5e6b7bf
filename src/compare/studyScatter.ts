import type { Study } from "../study/types.ts";
import { comparedTechniques, compareStudy } from "./compareStudy.ts";

export interface Scatter {
  /** SD of one skater's repeats of one technique, seconds. */
  readonly typicalError: number;
  /** SD between skaters of what the technique changes, seconds. */
  readonly response: number;
  readonly from: "this study" | "elsewhere";
}

/** Typical error of the mean of seven sprints over 15 m on ice: Wilson et al. (2021), Int J Exerc Sci 14, 666-676. */
const PUBLISHED = 0.04;

/** What to reckon with when planning: this study's own times where they have repeats, else published ones. */
export function studyScatter(study: Study): Scatter {
  const elsewhere: Scatter = { typicalError: PUBLISHED, response: PUBLISHED, from: "elsewhere" };
  if (!comparedTechniques(study)) return elsewhere;
  const { typicalError, model } = compareStudy(study, {
    quantity: "time_s",
    meanOf: () => null,
    names: "codes",
  });
  if (typicalError.value === null || typicalError.value === 0 || typicalError.df < 3) return elsewhere;
  // Two responses make a difference between techniques.
  const response =
    model.value === null || model.sdSkaterByTechnique === null
      ? typicalError.value
      : Math.SQRT2 * model.sdSkaterByTechnique;
  return { typicalError: typicalError.value, response, from: "this study" };
}
