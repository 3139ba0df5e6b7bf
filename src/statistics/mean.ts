export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** With n - 1; two passes, because one pass loses digits (NIST StRD NumAcc4). Needs two values. */
export function standardDeviation(values: readonly number[]): number {
  const centre = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (values.length - 1));
}

/** Parts of a value that binary rounding may leave; no clock and no camera tells values so near apart. */
const ROUNDING = 1e-9;

/**
 * What is left of a value once something that explains it is taken out; 0 where only binary rounding is left (the mean of
 * 3.37, 3.37 and 3.37 is not 3.37).
 *
 * @param size how large the values are that it is left of
 */
export function withoutRounding(left: number, size: number): number {
  return Math.abs(left) <= ROUNDING * size ? 0 : left;
}
