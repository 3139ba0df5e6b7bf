/**
 * An id from what a person typed, safe in a file name and not yet taken: "Åse B." becomes "ase-b", then "ase-b-2".
 *
 * @param fallback used where nothing of the text can stand in a file name
 */
export function freshId(text: string, taken: readonly string[], fallback: string): string {
  const plain = text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 40);
  const base = plain || fallback;
  let id = base;
  for (let n = 2; taken.includes(id); n++) id = `${base}-${n}`;
  return id;
}
