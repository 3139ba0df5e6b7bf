import type { CompareRow } from "../../src/compare/types.ts";

/** Rows of two techniques "a" and "b": one list of repeats a skater and technique, all valid, in an ABBA order. */
export function pairedRows(
  a: readonly (readonly number[])[],
  b: readonly (readonly number[])[],
  names: readonly string[] = a.map((_, i) => `S${i + 1}`),
): CompareRow[] {
  let order = 0;
  return names.flatMap((skater, i) => {
    const left = [...a[i]!.map((value) => ({ technique: "a", value }))];
    const right = [...b[i]!.map((value) => ({ technique: "b", value }))];
    const sequence = [...left.slice(0, 1), ...right, ...left.slice(1)];
    return sequence.map(({ technique, value }) => ({
      skater,
      technique,
      order: ++order,
      value,
      valid: true,
    }));
  });
}
