import { hidden } from "./plainWords.ts";
import type { Comparison } from "./types.ts";

/** Whether skaters respond alike to the technique, in one sentence; its SD is among the numbers. Null with fewer than two skaters. */
export function responseWords(c: Comparison): string | null {
  const { response: r, n } = c;
  if (n < 2) return null;
  if (r.value === null) {
    const why =
      c.typicalError.value === null
        ? "nobody repeated a technique"
        : `all repeats are exactly alike${hidden(c)}`;
    return `Whether skaters respond alike can’t be told: ${why}.`;
  }
  if (r.p > 0.05)
    return "Nothing shows that skaters respond differently: their differences scatter no more than their trials can make them.";
  const order =
    c.order.kind !== "balanced" || c.order.blocks ? "; the order of trials may make part of it" : "";
  // One test of them is one-sided: the interval may still reach 0.
  const may = r.ci95[0] < 0.05 * r.value ? "Skaters may respond differently" : "Skaters respond differently";
  return `${may}: their differences scatter more than their trials would make them${order}.`;
}
