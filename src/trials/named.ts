import type { Skater, Technique } from "../study/types.ts";

/** Whether a text is one of the names, whatever its capitals and the space around it; an empty text is nobody's. */
export function isNamed(text: string, ...names: readonly string[]): boolean {
  const plain = (s: string) => s.trim().toLowerCase();
  return plain(text) !== "" && names.some((name) => plain(name) === plain(text));
}

/** Who is meant in a table: by name, code or id. */
export function skaterOf(skaters: readonly Skater[], text: string): Skater | undefined {
  return skaters.find((s) => isNamed(text, s.name, s.code, s.id));
}

export function techniqueOf(techniques: readonly Technique[], text: string): Technique | undefined {
  return techniques.find((t) => isNamed(text, t.name, t.id));
}
