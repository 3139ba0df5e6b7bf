import type { Straightening } from "../ice/camera/bend.ts";
import { type Corner, corners } from "./corners.ts";
import type { Match } from "./fitMap.ts";
import type { Pyramid } from "./grey.ts";
import { findPatch, learnPatch, type Patch, REACH, ROOM, roughly } from "./patch.ts";
import { type CentreMotion, type PlaneMap, seenAt, stretchSeen } from "./planeMap.ts";

/** How the start is seen in a key frame; found anew when more is known of the lens. */
export interface Standing {
  map: PlaneMap;
  /** Variances of where the start's centre is seen in it. */
  variance: CentreMotion;
}

/** A frame that others are held against. */
export interface KeyFrame {
  readonly at: Standing;
  readonly places: readonly Place[];
}

export interface Place {
  readonly corner: Corner;
  /** By level of the pyramid; null = no contrast there. */
  readonly patches: readonly (Patch | null)[];
  /** 0 to 1: how much it has been background so far. */
  trust: number;
}

/** The halved pictures in which a first answer is looked for, from the third on; a patch reaches over a tenth of a picture there. */
export function coarsest({ width, height }: { readonly width: number; readonly height: number }): number {
  return Math.max(0, Math.min(4, Math.floor(Math.log2(Math.min(width, height) / 64))));
}

export function learnKeyFrame(picture: Pyramid, map: PlaneMap, variance: CentreMotion): KeyFrame {
  const top = coarsest(picture.size);
  // Found in the halved picture: there noise is less, and a corner's exact place does not matter.
  const places = corners(picture.level(1), REACH / 2 + 2).map((half): Place => {
    const corner = { ...half, x: 2 * half.x, y: 2 * half.y };
    const patches = Array.from({ length: top + 1 }, (_, k) => {
      const level = picture.level(k);
      return learnPatch(
        level,
        within(corner.x / 2 ** k, level.width),
        within(corner.y / 2 ** k, level.height),
      );
    });
    return { corner, patches, trust: 1 };
  });
  return { at: { map, variance }, places };
}

/** The nearest whole pixel around which a patch is all in the picture: boards along its edge must not be lost in the coarse ones. */
function within(at: number, size: number): number {
  return Math.max(ROOM, Math.min(size - ROOM - 1, Math.round(at)));
}

/** A match, and of which place it is. */
export interface Sighting extends Match {
  readonly place: Place;
}

/** Where to look: at one level, where a map says a place should be, and so many pixels of that level around. */
export interface Search {
  readonly level: number;
  readonly expected: PlaneMap;
  readonly around?: number;
  /** What the lens does, as far as it is known; the map is then of straightened pictures. */
  readonly lens?: Straightening | null;
}

/** Looks for every place of a key frame in another frame. */
export function lookFor(
  key: KeyFrame,
  picture: Pyramid,
  { level, expected, around = 0, lens = null }: Search,
): Sighting[] {
  const grid = 2 ** level;
  const seen = picture.level(level);
  const found: Sighting[] = [];
  for (const place of key.places) {
    const patch = place.patches[level];
    if (!patch) continue;
    const from = { x: patch.x * grid, y: patch.y * grid };
    const guess = seenAt(expected, from.x, from.y, lens);
    const stretch = stretchSeen(expected, from.x, from.y, lens);
    const there = { x: guess.x / grid, y: guess.y / grid, stretch };
    const at = findPatch(patch, seen, around > 0 ? roughly(patch, seen, there, around) : there);
    if (at) found.push({ from, to: { x: at.x * grid, y: at.y * grid }, trust: place.trust, place });
  }
  return found;
}
