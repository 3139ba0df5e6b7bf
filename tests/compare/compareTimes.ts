import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import type { CompareRow } from "../../src/compare/types.ts";

/** Times of technique "b" against those of "a"; seconds. */
export const compareTimes = (rows: readonly CompareRow[], worthwhile: number | null = null) =>
  compareTechniques({ rows, a: "a", b: "b", quantity: "time_s", worthwhile });
