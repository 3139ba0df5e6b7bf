import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { withInterval } from "./numbers.ts";
import type { Comparison } from "./types.ts";

/** Whether skaters respond alike to the technique, in one sentence with its number; null with fewer than two skaters. */
export function responseWords(c: Comparison): string | null {
  const { response: r, quantity, n } = c;
  if (n < 2) return null;
  if (r.value === null) {
    const why =
      c.typicalError.value === null ? "nobody repeated a technique" : "all repeats are exactly alike";
    return `Whether skaters respond alike can’t be told: ${why}.`;
  }
  if (r.ci95[1] === 0)
    return "Nothing shows that skaters respond differently: their differences scatter less than their trials alone would make them.";
  const size = withInterval(r.value, r.ci95, QUANTITY_WORDS[quantity].unit);
  if (r.p > 0.05)
    return `Nothing shows that skaters respond differently: their responses have an SD of ${size}.`;
  const order =
    c.order.kind !== "balanced" || c.order.blocks ? "; the order of trials may make part of it" : "";
  // One test of them is one-sided: the interval may still reach 0.
  const may = r.ci95[0] < 0.05 * r.value ? "Skaters may respond differently" : "Skaters respond differently";
  return `${may}: beyond the scatter of their trials, responses have an SD of ${size}${order}.`;
}
