import { Unmeasurable } from "../quantities/unmeasurable.ts";
import type { StrideEvents } from "./strideOrder.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

const ONLY_ONE =
  "Only one stride is picked so far. Pick the blade-offs of the other blade before it and after it too.";

/** The stride before stride `n`. @throws {Unmeasurable} */
export function strideBefore(trial: TrialGeometry, n: number): StrideEvents {
  const before = trial.stride(n - 1);
  if (before) return before;
  throw new Unmeasurable(onlyOne(trial) ? ONLY_ONE : "The first stride has no blade-off before it.");
}

/** The stride after stride `n`. @throws {Unmeasurable} */
export function strideAfter(trial: TrialGeometry, n: number, what = "it"): StrideEvents {
  const after = trial.stride(n + 1);
  if (after) return after;
  throw new Unmeasurable(onlyOne(trial) ? ONLY_ONE : `The last stride has no blade-off after ${what}.`);
}

/** Said in one way by all that need a neighbour: "the first" and "the last" of one stride tell nobody what to do. */
function onlyOne({ strides }: TrialGeometry): boolean {
  return strides.length === 1;
}
