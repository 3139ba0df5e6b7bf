import { entryOf, hasMean } from "../quantities/catalogue.ts";
import type { Band } from "../study/types.ts";

/** Why no trial can be held against a band, for the coach; null when it can. */
export function bandFault({ quantity, min, max }: Band): string | null {
  if (!hasMean(quantity)) return "A trial has no mean of that; choose another quantity in Plan.";
  const { name } = entryOf(quantity);
  if (min === undefined && max === undefined)
    return `The band of ${name} is empty: it has no edge, so every trial would lie in it. Type a lower or an upper edge in Plan.`;
  if (min !== undefined && max !== undefined && min > max)
    return `The band of ${name} is empty: its lower edge lies above its upper one. Check both edges in Plan.`;
  return null;
}
