import { type Assessment, assessTrial } from "./measureTrial.ts";
import type { MeasureInput, TrialReadings } from "./types.ts";

/**
 * `measureTrial` for one trial that is asked for again and again while its marks are being moved: what rests on none of
 * the marks that changed since the last call is kept. Results are those of `measureTrial` to the last bit.
 */
export function measureAgain(): (input: MeasureInput) => TrialReadings {
  let last: Assessment | null = null;
  return (input) => {
    const before = last;
    // Should it throw half way, nothing of it is gone on from.
    last = null;
    last = assessTrial(input, { before });
    return last.readings;
  };
}
