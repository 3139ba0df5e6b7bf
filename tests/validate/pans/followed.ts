import type { ClipMotion } from "../../../src/study/types.ts";
import { after, at, type Pair, type Plane, planeBetween, STAYS } from "../planeMaps.ts";
import type { Dice } from "../random.ts";
import type { Course } from "./course.ts";
import { seenAgain } from "./paint.ts";

/** px: SD of one place as it is found again (camera-motion.md: patches between pixels). */
const PLACE_PX = 0.12;
/** px: of all of a frame alike, as measured on warped films; said to be 0.04. */
const ALIKE_PX = 0.04;
/** What a key frame's places are held against: more than so far from the fit they are not taken for background. */
const MOST_PX = 2.5;
const ACROSS = 10;
const DOWN = 6;

/**
 * What a course's background tells, as a follower of places does it: each frame held against a key frame, a new one where half of it
 * has gone, one map of a plane a frame whatever lens and shutter do; by geometry, without pixels (`paintedPans.test.ts` has those).
 */
export function followedCourse(course: Course, from: number, to: number, d: Dice): ClipMotion {
  const { width, height } = course.pan;
  const grid = Array.from({ length: ACROSS * DOWN }, (_, k): readonly [number, number] => [
    (((k % ACROSS) + 0.5) / ACROSS) * width,
    ((Math.floor(k / ACROSS) + 0.5) / DOWN) * height,
  ]);
  let key = { frame: from, map: STAYS as Plane, u: 0 };
  const frames: (readonly number[] | null)[] = [];
  for (let n = from; n <= to; n++) {
    const pairs = grid.flatMap((place): Pair[] => {
      const seen = n === key.frame ? place : seenAgain(course.frame(key.frame), course.frame(n), ...place);
      if (!seen || seen[0] < 8 || seen[1] < 8 || seen[0] > width - 9 || seen[1] > height - 9) return [];
      return [[place, [seen[0] + d.normal(PLACE_PX), seen[1] + d.normal(PLACE_PX)]]];
    });
    const map = n === key.frame ? STAYS : robustly(pairs, width);
    if (!map) {
      frames.push(null);
      continue;
    }
    const alike: Plane = [1, 0, d.normal(ALIKE_PX), 0, 1, d.normal(ALIKE_PX), 0, 0, 1];
    const whole = after(n === key.frame ? STAYS : alike, after(map, key.map));
    const own = Math.hypot(ALIKE_PX, PLACE_PX / Math.sqrt(pairs.length));
    frames.push([...whole.slice(0, 8), Math.hypot(own, key.u), Math.hypot(own, key.u)]);
    if (pairs.length < 0.7 * grid.length) key = { frame: n, map: whole, u: Math.hypot(own, key.u) };
  }
  return { clip: "c", still: false, noisePx: 0.06, first: from, frames, bumps: [] };
}

/** Places far from the fit are left out, once and again. Null where few are left. */
function robustly(pairs: readonly Pair[], size: number): Plane | null {
  let kept = pairs;
  for (let round = 0; round < 2; round++) {
    if (kept.length < 12) return null;
    const map = planeBetween(kept, size);
    const off = (pair: Pair) => {
      const seen = at(map, pair[0]);
      return Math.hypot(seen[0] - pair[1][0], seen[1] - pair[1][1]);
    };
    kept = pairs.filter((pair) => off(pair) < MOST_PX);
  }
  return kept.length < 12 ? null : planeBetween(kept, size);
}
