import { z } from "zod";

/**
 * `next` with the fields of `before` that this version does not know and `next` has lost: a window that builds its
 * objects anew must not delete what a later version or a person wrote. Known fields are `next`'s alone; things in
 * lists are matched by their `id`, and what is gone stays gone.
 */
export function keepUnknown<T>(schema: z.ZodType, before: unknown, next: T): T {
  if (schema instanceof z.ZodObject && isObject(before) && isObject(next)) {
    const kept: Record<string, unknown> = { ...next };
    for (const [key, value] of Object.entries(before)) {
      const known = Object.hasOwn(schema.shape, key) ? (schema.shape[key] as z.ZodType) : null;
      if (!known && !Object.hasOwn(next, key)) kept[key] = value;
      else if (known && Object.hasOwn(next, key)) kept[key] = keepUnknown(known, value, next[key]);
    }
    return kept as T;
  }
  if (schema instanceof z.ZodArray && Array.isArray(before) && Array.isArray(next)) {
    const byId = new Map(before.filter(hasId).map((item) => [item.id, item]));
    return next.map((item) =>
      hasId(item) ? keepUnknown(schema.element as z.ZodType, byId.get(item.id), item) : item,
    ) as T;
  }
  return next;
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function hasId(value: unknown): value is { id: string } {
  return isObject(value) && typeof value.id === "string";
}
