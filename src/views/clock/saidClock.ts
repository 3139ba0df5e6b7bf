import { K95 } from "../../uncertainty/uncertain.ts";
import type { SaidSummary } from "../types.ts";
import type { ShownContacts } from "./shownContacts.ts";

/** A time to add to a view's own clock to give the first one's that is known otherwise, as by a slate or a clock both show: real seconds. */
export interface SaidOffset {
  readonly value: number;
  readonly u95: number;
}

/** How a view's clock lies to the first one's by something else than its events: real seconds, with standard uncertainties. */
export interface KnownClock {
  /** Added to the view's own clock to give the first one's, at `at` of its own. */
  readonly offset: number;
  readonly u: number;
  readonly at: number;
  /** Seconds of the first view's clock in one of its own; null = it does not tell. */
  readonly rate: { readonly value: number; readonly u: number } | null;
  readonly by: "sound" | "said";
}

/** What was said holds in the middle of what the view shows: whoever says it says how far clocks run apart till then. */
export function saidClock({ value, u95 }: SaidOffset, { contacts }: ShownContacts): KnownClock {
  const [first, last] = [contacts[0], contacts[contacts.length - 1]];
  const at = first && last ? (first.time + last.time) / 2 : 0;
  return { offset: value, u: u95 / K95, at, rate: null, by: "said" };
}

/** What was said of a view's clock, as it is shown. */
export function saidSummary({ offset, u }: KnownClock, used: boolean, events: number): SaidSummary {
  return { offset: { value: offset, u95: K95 * u }, events, used };
}
