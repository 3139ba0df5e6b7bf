/** Twelve digits: all that is known and none of the binary rounding of decimal times (-0.2999999999999998). */
export function digits(value: number): number {
  return Number(value.toPrecision(12));
}

/** The same of a quantity, where less than 1e-12 is rounding too; a p may truly be this small. */
export function sizeDigits(value: number): number {
  return Math.abs(value) < 1e-12 ? 0 : digits(value);
}
