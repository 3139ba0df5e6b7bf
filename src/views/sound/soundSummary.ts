import { K95 } from "../../uncertainty/uncertain.ts";
import type { SoundSummary } from "../types.ts";
import type { Heard } from "./heardClock.ts";

/** What the sound says of a view's clock, as it is shown. */
export function soundSummary(heard: Heard, used: boolean, events: number): SoundSummary {
  if (heard.offset === null) return { value: null, why: `Sound does not tie it: ${heard.why}.` };
  const { offset, u, at, rate, apart, placesKnown } = heard;
  return {
    offset: { value: offset, u95: K95 * u },
    at,
    rate: rate
      ? { value: rate.value, u95: K95 * rate.u }
      : {
          value: null,
          why: "The stretch that both clips' sound tells is too short to say how fast one clock runs.",
        },
    ...{ apart, placesKnown, events, used },
  };
}
