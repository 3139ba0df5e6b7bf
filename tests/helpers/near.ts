import { expect } from "vitest";

/** |got - want| under `tolerance`, in the unit of both; a missing number fails. */
export function near(got: number | null | undefined, want: number, tolerance: number): void {
  expect(got, `${got} should be ${want}`).toBeTypeOf("number");
  expect(Math.abs((got as number) - want), `${got} should be ${want} ± ${tolerance}`).toBeLessThan(tolerance);
}
