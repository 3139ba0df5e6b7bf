import { type Fit, type Model, solveMap } from "./fitMap.ts";
import type { Sighting } from "./keyFrame.ts";
import { type CentreMotion, centreMotion, type Size } from "./planeMap.ts";

/**
 * px, one coordinate: what the parts of a picture that moves err by alike, reading between pixels and the coder (the errors measured
 * on warped films, docs/camera-motion.md). It comes on top of what they differ by; of a still camera all is seen.
 */
export const ALIKE_PX = 0.04;

/** The picture in so many parts across and down, each left out once. */
const ACROSS = 4;
const DOWN = 3;

/**
 * Variances of what a fit says at the picture's centre, by leaving out one part of the picture after the other: what the places
 * miss the fit by (the sensor, the coder, places between pixels, a lens or shutter that the model does not know) comes in as far
 * as it differs from part to part; what is the same all over the picture can't be told from motion.
 *
 * @returns null when one part alone carries the fit
 * @see Efron and Tibshirani (1993), An Introduction to the Bootstrap, 11.5 (the jackknife); parts rather than single places
 *   because neighbours err together: Künsch (1989), Annals of Statistics 17, 1217-1241
 */
export function fitNoise(
  sightings: readonly Sighting[],
  fit: Fit,
  model: Model,
  size: Size,
): CentreMotion | null {
  const without: CentreMotion[] = [];
  for (let part = 0; part < ACROSS * DOWN; part++) {
    const weights = sightings.map(({ from }, i) => (partOf(from, size) === part ? 0 : fit.weights[i]!));
    if (weights.every((w, i) => w === fit.weights[i])) continue;
    const map = solveMap(sightings, weights, fit.map, model, size);
    if (!map) return null;
    without.push(centreMotion(map, size));
  }
  if (without.length < 3) return null;
  const spread = (of: (m: CentreMotion) => number) => {
    const mean = without.reduce((sum, m) => sum + of(m), 0) / without.length;
    return ((without.length - 1) / without.length) * without.reduce((sum, m) => sum + (of(m) - mean) ** 2, 0);
  };
  return {
    dxPx: spread((m) => m.dxPx),
    dyPx: spread((m) => m.dyPx),
    turnDeg: spread((m) => m.turnDeg),
    scale: spread((m) => m.scale),
  };
}

function partOf({ x, y }: { readonly x: number; readonly y: number }, { width, height }: Size): number {
  const column = Math.min(ACROSS - 1, Math.floor((ACROSS * x) / width));
  return ACROSS * Math.min(DOWN - 1, Math.floor((DOWN * y) / height)) + column;
}
