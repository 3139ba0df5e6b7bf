import { isLens } from "../ice/camera/bend.ts";
import type { ClipMotion, Picture } from "../study/types.ts";
import { LEAST_FRAMES } from "./judgeMotion.ts";
import { centreMotion, centreOf, chained, inverse, mapped, type PlaneMap, STAYS } from "./planeMap.ts";

/** px: the first row's picture lies on itself, but for what following errs by. */
const MOST_OF_FIRST = 1;
/** Of the picture's diagonal, and in size: no camera turns or zooms by more from one frame to the next. */
const MOST_STEP = 0.5;
const MOST_GROWTH = 2;
/** px: where following is worse it tells nothing. */
const MOST_DOUBT_PX = 1000;
/** px a px panned: likewise. */
const MOST_BEND_DRIFT = 1;

/**
 * Why a clip's motion can't be that of a camera that turns and zooms, from where it was read; null = it can. What it says of a
 * camera that stands still or is not told is not used, so it is not looked at.
 */
export function motionFault(
  { still, first, frames, bumps, bend }: ClipMotion,
  picture: Picture,
): string | null {
  if (still !== false) return null;
  if (bend && !(isLens(bend) && bend.drift <= MOST_BEND_DRIFT)) return "no lens bends a picture as it says";
  const told = frames.filter((entry) => entry !== null).length;
  if (told < LEAST_FRAMES)
    return `it says that the camera moved, but only ${told} of its frames say how (${LEAST_FRAMES} or more must)`;
  const last = first + frames.length - 1;
  for (const [k, { frame, dxPx, dyPx }] of bumps.entries()) {
    if (frame <= first || frame > last)
      return `it has a knock at frame ${frame}, and its frames are ${first} to ${last}`;
    if (k > 0 && frame <= bumps[k - 1]!.frame)
      return `it has a knock at frame ${frame} after one at frame ${bumps[k - 1]!.frame}; knocks must be in order, each once`;
    if (!(Math.hypot(dxPx, dyPx) < Math.hypot(picture.width, picture.height)))
      return `at its knock at frame ${frame} the picture jumps farther than it is large`;
  }
  let before: PlaneMap | null = STAYS;
  for (const [k, entry] of frames.entries()) {
    if (entry === null) {
      before = null;
      continue;
    }
    const map: PlaneMap = [...entry.slice(0, 8), 1];
    if (entry.slice(8).some((u) => !(u >= 0 && u <= MOST_DOUBT_PX)))
      return `the uncertainty of frame ${first + k} is not a number of px from 0 to ${MOST_DOUBT_PX}`;
    const wrong = stepFault(map, before, k === 0, picture);
    if (wrong !== null) return `the map of frame ${first + k} ${wrong}`;
    before = map;
  }
  return null;
}

/** @param before map of the frame before it; null where that is not told */
function stepFault(map: PlaneMap, before: PlaneMap | null, isFirst: boolean, picture: Picture) {
  const back = inverse(map);
  if (![...map, ...back].every(Number.isFinite)) return "can't be that of a picture: it leads nowhere";
  if (before === null) return null;
  const step = chained(map, inverse(before));
  const { width, height } = picture;
  const diagonal = Math.hypot(width, height);
  const corners = [0, width - 1].flatMap((x) => [0, height - 1].map((y) => ({ x, y })));
  const isFolded = corners.some(({ x, y }) => !(step[6]! * x + step[7]! * y + 1 > 0));
  const { scale } = centreMotion(step, picture);
  const isMirrored = !(step[0]! * step[4]! - step[1]! * step[3]! > 0);
  const centre = centreOf(picture);
  const far = (p: { x: number; y: number }) => {
    const to = mapped(step, p.x, p.y);
    return Math.hypot(to.x - p.x, to.y - p.y);
  };
  if (isFirst)
    return isFolded || corners.some((c) => !(far(c) <= MOST_OF_FIRST))
      ? "is not that of a picture which has not moved yet, and every map is from the first frame's picture"
      : null;
  return isFolded ||
    isMirrored ||
    !(scale < MOST_GROWTH && scale > 1 / MOST_GROWTH) ||
    !(far(centre) < MOST_STEP * diagonal)
    ? "can't follow that of the frame before it: no camera turns or zooms so far in one frame"
    : null;
}
