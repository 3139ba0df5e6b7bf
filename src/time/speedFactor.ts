import { MeasureError } from "../errors.ts";

/** Real seconds of a clip time: a clip that plays `factor` times slower than life shows `factor` seconds a second. */
export function realSeconds(clipSeconds: number, factor: number): number {
  return clipSeconds / factor;
}

/** @throws {MeasureError} `bad-speed-factor` unless the factor is a positive number */
export function checkSpeedFactor(factor: number): void {
  if (Number.isFinite(factor) && factor > 0) return;
  throw new MeasureError(
    "bad-speed-factor",
    `checkSpeedFactor requires a positive speed factor; got ${factor}`,
    "The clip's speed factor must be a positive number: 1 for normal speed, 8 for a clip that plays eight times slower than life.",
    { factor },
  );
}
