import { type Fit, type Match, type Model, solveMap } from "./fitMap.ts";
import { type CentreMotion, centreMotion, type Point, type Size } from "./planeMap.ts";

/**
 * px, one coordinate: what the parts of a picture that moves err by alike, reading between pixels and the coder (the errors measured
 * on warped films, docs/camera-motion.md). It comes on top of what they differ by; of a still camera all is seen.
 */
export const ALIKE_PX = 0.04;

/** What is used of the picture in so many parts across and down, each left out once. */
const ACROSS = 4;
const DOWN = 3;
export const PARTS = ACROSS * DOWN;

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
  sightings: readonly Match[],
  fit: Fit,
  model: Model,
  size: Size,
): CentreMotion | null {
  const without: CentreMotion[] = [];
  const parts = partsOf(sightings.map(({ from }, i) => (fit.weights[i]! > 0 ? from : null)));
  for (let part = 0; part < PARTS; part++) {
    const weights = fit.weights.map((weight, i) => (parts[i] === part ? 0 : weight));
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

/**
 * Which part each place that is used lies in; null = it isn't. The parts divide what is used, not the picture: boards along its top, half
 * of them out of view, would be two parts of it.
 */
export function partsOf(used: readonly (Point | null)[]): (number | null)[] {
  const places = used.filter((place) => place !== null);
  const across = shares(places.map(({ x }) => x));
  const down = shares(places.map(({ y }) => y));
  return used.map(
    (place) =>
      place &&
      ACROSS * Math.min(DOWN - 1, Math.floor(DOWN * down(place.y))) +
        Math.min(ACROSS - 1, Math.floor(ACROSS * across(place.x))),
  );
}

/** Of the way from the least to the most, how much lies before a value. */
function shares(values: readonly number[]): (value: number) => number {
  const [least, most] = [Math.min(...values), Math.max(...values)];
  return (value) => (most > least ? (value - least) / (most - least) : 0);
}
