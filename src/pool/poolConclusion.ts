import type { OrWhy } from "../reading.ts";
import { t975, tQuantile } from "../statistics/distributions.ts";
import type { Pooled } from "./poolDifferences.ts";
import type { PoolOrder } from "./poolOrder.ts";

/**
 * What may be said of all evenings together: "settled": a difference for skaters in general; "order": there would be one, but
 * the order of trials passes for it; "open".
 */
export type PoolConclusion = "settled" | "order" | "open";

/**
 * @param looks how often the season is looked at by its plan, this time included; they share the 5 % of wrong answers evenly
 * (Bonferroni), whatever evenings they come after
 */
export function poolConclusion(
  pooled: OrWhy<Pooled>,
  order: PoolOrder | null,
  looks: number,
): { readonly is: PoolConclusion; readonly interval: readonly [low: number, high: number] | null } {
  if (pooled.value === null) return { is: "open", interval: null };
  const t = tQuantile(1 - 0.025 / looks, pooled.df);
  const half = t * pooled.standardError;
  const interval = [pooled.value - half, pooled.value + half] as const;
  if (Math.abs(pooled.value) <= half) return { is: "open", interval };
  if (!order || order.kind === "balanced") return { is: "settled", interval };
  const { kind, steady } = order;
  const holds =
    kind === "leaning" &&
    steady.value !== null &&
    steady.value * pooled.value > 0 &&
    Math.abs(steady.value) > (steady.u95 * t) / t975(pooled.df);
  return { is: holds ? "settled" : "order", interval };
}
