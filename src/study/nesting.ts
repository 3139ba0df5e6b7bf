/** Ours are under ten levels deep; deeper than this, what reads and writes JSON may come to the end of its stack. */
export const LEVELS = 64;

/** Where plain JSON data is nested more than `LEVELS` deep, as the fields that lead there; null = nowhere. */
export function tooDeep(json: unknown): readonly string[] | null {
  return deeperThan(json, LEVELS);
}

function deeperThan(value: unknown, levels: number): string[] | null {
  if (typeof value !== "object" || value === null) return null;
  if (levels === 0) return [];
  for (const [key, inner] of Object.entries(value)) {
    const found = deeperThan(inner, levels - 1);
    if (found) return [key, ...found];
  }
  return null;
}
