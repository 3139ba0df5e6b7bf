import type { Straightening } from "../ice/camera/bend.ts";
import { consensus } from "./consensus.ts";
import {
  type Fit,
  type Match,
  type Model,
  refineMap,
  solvePlane,
  straightened,
  weighedMisses,
} from "./fitMap.ts";
import { fitNoise } from "./fitNoise.ts";
import type { Pyramid } from "./grey.ts";
import { coarsest, type KeyFrame, lookFor, type Sighting } from "./keyFrame.ts";
import { REACH } from "./patch.ts";
import { type CentreMotion, mapped, type PlaneMap, reachOf, type Size, seenAt } from "./planeMap.ts";

/** Fewer places don't speak for a background. */
export const LEAST_PLACES = 12;
/**
 * Of the picture's width: closer together than so the middle half of the places is on somebody who is followed, not behind; half a
 * picture full of them has 0.25. [judgement]
 */
const LEAST_WIDTH = 0.08;
/** Of the places found, by trust: less agreement is a picture of many things that move. */
const LEAST_SHARE = 0.3;
/**
 * Of the places that must be in view, by trust: with fewer found again a frame is not told, as they may be the skater's own, who is kept
 * in the middle. [judgement: over coded pans most below were wrong, the wrong ones up to 0.54; at 0.6 right ones through a lens are lost]
 */
const LEAST_FOUND = 0.55;
/** Of all the key frame's places, by trust: likewise, with less agreement; where most have gone, a handful agree by chance (0.21, wrong by 30 px). */
const LEAST_SUPPORT = 0.25;
/** So much agreement where it was expected needs no search from the coarse. */
const PLAIN_SHARE = 0.6;
/** As much support for another motion as this share of the best leaves open which of the two is the background. */
const RIVAL = 0.7;
/** px, one coordinate: a frame known no better is not told. */
const MOST_NOISE_PX = 0.75;
/** px, of turn and growth at a typical place: likewise; a thin strip of boards tells nothing of the rest of the picture. */
const MOST_TURN_NOISE_PX = 1.5;
/** px; within it a place agrees with a turn, scale and move, though the picture be slanted a little by its shutter. */
const WITHIN_PX = 1.5;

/** Pixels of the coarsest picture over which a place is looked for: a tenth of a picture and more; then of the finer ones. */
const AROUND = 8;
const NEARBY = 2;

export interface Seen {
  readonly map: PlaneMap;
  /** Variances at the picture's centre. */
  readonly variance: CentreMotion;
  /** Of the key frame's places that must be in view, by trust: those that were found and belong to it. */
  readonly share: number;
  /** Whether it is known well enough to be told; else it says only where to look next. */
  readonly isTold: boolean;
  /** Places as they are seen, whatever the lens, and how much each counted. */
  readonly matches: readonly Match[];
  readonly weights: readonly number[];
}

export interface Where {
  readonly expected: PlaneMap;
  readonly size: Size;
  /** Uniform numbers in [0, 1). */
  readonly random: () => number;
  /** What the lens does, as far as it is known; all maps are then of straightened pictures. */
  readonly lens?: Straightening | null;
}

/** A key frame's background in another frame. null = the picture does not tell. Learns which places are background. */
export function seenFrom(
  key: KeyFrame,
  picture: Pyramid,
  { expected, size, random, lens = null }: Where,
): Seen | null {
  let map = expected;
  let matches = lookFor(key, picture, { level: 0, expected: map, lens });
  let sightings = straightened(matches, lens);
  let agreed = consensus(sightings, map, WITHIN_PX, random);
  if (!agreed || agreed.support < PLAIN_SHARE * trustOf(key)) {
    const top = coarsest(size);
    for (let level = top; level > 0; level--) {
      const around = level === top ? AROUND : NEARBY;
      const there = straightened(lookFor(key, picture, { level, expected: map, around, lens }), lens);
      const rough = consensus(there, map, 2 ** level, random);
      if (rough && rough.share > LEAST_SHARE) map = rough.map;
    }
    matches = lookFor(key, picture, { level: 0, expected: map, lens });
    sightings = straightened(matches, lens);
    agreed = consensus(sightings, map, WITHIN_PX, random);
  }
  if (!agreed || agreed.share < LEAST_SHARE) return null;
  const best = bestModel(sightings, agreed.map, size);
  if (!best) return null;
  const { fit, model } = best;
  const used = matches.filter((_, i) => fit.weights[i]! > 0).map(({ place }) => place.corner);
  if (used.length < LEAST_PLACES || widthOf(used) < LEAST_WIDTH * size.width) return null;
  const rest = sightings.filter((_, i) => fit.weights[i] === 0);
  const rival = consensus(rest, map, WITHIN_PX, random);
  if (rival && rival.support > RIVAL * agreed.support) return null;
  const share = shareFound(key, sightings, fit, size, lens);
  learnTrust(sightings, fit);
  const variance = fitNoise(sightings, fit, model, size);
  if (!variance) return null;
  const isSeen = share >= LEAST_FOUND && agreed.support >= LEAST_SUPPORT * trustOf(key);
  const isTold = isSeen && isKnown(variance, size);
  return { map: fit.map, variance, share, isTold, matches, weights: fit.weights };
}

/** The map by places that were found before, once more is known of the lens. null = it is not known well enough to be told. */
export function seenAgain(
  { matches, weights }: Pick<Seen, "matches" | "weights">,
  lens: Straightening | null,
  size: Size,
): Pick<Seen, "map" | "variance" | "weights"> | null {
  const straight = straightened(matches, lens);
  const start = solvePlane(straight, weights, size);
  const best = start && bestModel(straight, start, size);
  const variance = best && fitNoise(straight, best.fit, best.model, size);
  if (!variance || !isKnown(variance, size)) return null;
  return { map: best.fit.map, variance, weights: best.fit.weights };
}

function isKnown({ dxPx, dyPx, turnDeg, scale }: CentreMotion, size: Size): boolean {
  const turned = (turnDeg * (Math.PI / 180) ** 2 + scale) * reachOf(size) ** 2;
  return dxPx + dyPx <= 2 * MOST_NOISE_PX ** 2 && turned <= 2 * MOST_TURN_NOISE_PX ** 2;
}

/** How far apart, across, the middle half of some places lies, px. */
function widthOf(places: readonly { readonly x: number }[]): number {
  const across = places.map(({ x }) => x).sort((a, b) => a - b);
  const quarter = across.length >> 2;
  return across[across.length - 1 - quarter]! - across[quarter]!;
}

function shareFound(
  key: KeyFrame,
  sightings: readonly Sighting[],
  { map, weights }: Fit,
  size: Size,
  lens: Straightening | null,
): number {
  const found = sightings.reduce((sum, { trust }, i) => sum + (weights[i]! > 0 ? trust : 0), 0);
  const inside = key.places.reduce((sum, { corner, trust }) => {
    const { x, y } = seenAt(map, corner.x, corner.y, lens);
    return x > REACH && y > REACH && x < size.width - REACH && y < size.height - REACH ? sum + trust : sum;
  }, 0);
  return inside > 0 ? Math.min(1, found / inside) : 0;
}

function trustOf({ places }: KeyFrame): number {
  return places.reduce((sum, { trust }) => sum + trust, 0);
}

/** How much better four more numbers must fit: chance does so once in 100 000 (F, 4 and more than 100 degrees of freedom). */
const LEAST_F = 8;
/** Degrees of freedom that must be left. */
const LEAST_FREE = 16;
/** px at a corner of the picture: a difference that is not worth four more numbers' noise. */
const WORTH_PX = 0.3;

/** The plainer model unless the other fits clearly better and makes a difference. */
function bestModel(
  sightings: readonly Match[],
  start: PlaneMap,
  size: Size,
): { readonly fit: Fit; readonly model: Model } | null {
  const similar = refineMap(sightings, start, "similar", size);
  const plane = refineMap(sightings, start, "plane", size);
  if (!plane) return similar && { fit: similar, model: "similar" };
  const free = 2 * plane.weights.filter((w) => w > 0).length - 8;
  // Of a long pan turn and scale alone leave nearly every place behind.
  if (!similar) return free > LEAST_FREE ? { fit: plane, model: "plane" } : null;
  const [of4, of8] = [similar, plane].map((f) => weighedMisses(sightings, plane.weights, f.map)) as [
    number,
    number,
  ];
  const f = (of4 - of8) / 4 / (of8 / free);
  const better = free > LEAST_FREE && f > LEAST_F && apart(similar.map, plane.map, size) > WORTH_PX;
  return better ? { fit: plane, model: "plane" } : { fit: similar, model: "similar" };
}

/** How far two maps differ at most at the corners of the picture, px. */
function apart(one: PlaneMap, other: PlaneMap, { width, height }: Size): number {
  const off = [0, width - 1].flatMap((x) =>
    [0, height - 1].map((y) => {
      const [a, b] = [mapped(one, x, y), mapped(other, x, y)];
      return Math.hypot(a.x - b.x, a.y - b.y);
    }),
  );
  return Math.max(...off);
}

/** Of each new frame; what hides a place for a second does not end it. */
const LEARNS = 0.05;

function learnTrust(sightings: readonly Sighting[], { weights }: Fit): void {
  sightings.forEach(({ place }, i) => {
    place.trust += LEARNS * ((weights[i]! > 0 ? 1 : 0) - place.trust);
  });
}
