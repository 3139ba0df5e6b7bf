import type { Limit, Possible } from "../../quantities/limits.ts";
import type { Reading } from "../../reading.ts";
import type { Uncertain } from "../../uncertainty/uncertain.ts";
import type { TrialMean } from "../types.ts";
import type { Quantity } from "./quantity.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** How every refusal of a reading begins that no skater can do. */
export const IMPOSSIBLE = "It comes out as";

/** The outcome, or why it can't be true: a wrong side, frame, mark or scale shows itself here. */
export function ifPossible(outcome: Outcome, range: Possible | undefined, frame: number): Outcome {
  if ("why" in outcome || !range) return outcome;
  const { value } = outcome.value;
  if (value >= range.min && value <= range.max) return outcome;
  const cause =
    range.unit === "pushes a second"
      ? "the frames picked for blade-off, and how fast the clip plays"
      : "left and right, the marks, and the scale of the ice";
  return {
    why: `${IMPOSSIBLE} ${Number(value.toPrecision(2))} ${range.unit}, which no skater does. Check ${cause} around frame ${frame}.`,
  };
}

/** What came of one quantity of one stride: the quantity, or why there is none. */
export type Outcome = Quantity | { readonly why: string; readonly either?: readonly Uncertain[] };

export function attempt(measure: () => Quantity): Outcome {
  try {
    return measure();
  } catch (error) {
    if (error instanceof Unmeasurable) return { why: error.why };
    throw error;
  }
}

/** What stands behind each number that is shown, for drawing it again; null where it is not going to be drawn. */
export type Shown = Map<Reading | TrialMean, Uncertain> | null;

/** What a limit is in. */
export type LimitUnit = "m" | "m/s" | "°";

export function readingOf(outcome: Outcome, shown: Shown, limit?: Limit, unit?: LimitUnit): Reading {
  if ("why" in outcome) {
    const { why, either } = outcome;
    return either
      ? { value: null, why, either: either.map(({ value, u95 }) => ({ value, u95 })) }
      : { value: null, why };
  }
  const doubt = limit && doubtOf(outcome.value, limit, unit);
  if (doubt) return { value: null, why: doubt };
  const { value, atFrame, u95 = value.u95 } = outcome;
  const reading: Reading = atFrame
    ? { value: value.value, u95, atFrame: atFrame.value }
    : { value: value.value, u95 };
  shown?.set(reading, value);
  return reading;
}

/** How every refusal of a reading begins that another camera placement would have given. */
export const DOUBTED = "This view measures it only to";

/** Why a value is too doubtful to be shown; null when it is not. */
export function doubtOf(value: Uncertain, limit: Limit, unit: LimitUnit = "m"): string | null {
  const u95 = value.u95;
  const most = limit(value.value);
  if (u95 <= most) return null;
  // By way of Number, for 120 and not 1.2e+2.
  const two = (x: number) => Number(x.toPrecision(2));
  if (unit === "°")
    return `${DOUBTED} ± ${two(u95)}°, too wide to tell one way of swinging from another. Film nearer, or with the arm's swing across the view.`;
  const show = (x: number) => (unit === "m" ? `${two(100 * x)} cm` : `${two(x)} m/s`);
  return `${DOUBTED} ± ${show(u95)}; beyond ± ${show(most)} techniques can't be told apart.`;
}
