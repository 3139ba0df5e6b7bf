import type { NotMeasured } from "../reading.ts";

/** A number with the 95 % interval of what it estimates. */
export interface Estimate {
  readonly value: number;
  readonly ci95: readonly [low: number, high: number] | NotMeasured;
}
