import type { Quantity } from "../quantities/catalogue.ts";
import type { CompareQuantity } from "../quantities/compared.ts";

/** The trial's mean of `quantity` should lie from `min` to `max` (either may be open). */
export interface Band {
  readonly quantity: Quantity;
  readonly min?: number;
  readonly max?: number;
}

/** What is decided before the first time is known. */
export interface PlanContent {
  readonly question: string;
  readonly techniques: readonly { readonly name: string; readonly asked: readonly Band[] }[];
  /** Names of the two compared first; null = not said. */
  readonly compared: { readonly a: string; readonly b: string } | null;
  /** What is compared first. */
  readonly quantity: CompareQuantity;
  /** Seconds; null = not said. */
  readonly worthwhile: number | null;
  /** Who said what is worth having, and when. */
  readonly saidBy: string;
  /** Codes, so that the plan names nobody. */
  readonly skaters: readonly string[];
  readonly trials: number;
  readonly stopWhen: string;
}

/** A part of a locked plan that was changed, as it was and as it is. */
export interface PlanChange {
  readonly part: keyof PlanContent;
  readonly from: unknown;
  readonly to: unknown;
  /** How many trials had a time by then. */
  readonly afterTrials: number;
  /** ISO 8601, UTC. */
  readonly date: string;
}

export interface LockedPlan {
  /** ISO 8601, UTC. */
  readonly date: string;
  readonly content: PlanContent;
  /** SHA-256 of `content` (`planHash`), hex. */
  readonly hash: string;
  readonly changes: readonly PlanChange[];
}

export interface Plan {
  readonly quantity?: CompareQuantity;
  readonly saidBy?: string;
  readonly stopWhen?: string;
  /** Absent = not locked. */
  readonly locked?: LockedPlan;
}
