import { randomNumbers } from "../statistics/randomNumbers.ts";
import { consensus } from "./consensus.ts";
import { ALIKE_PX } from "./fitNoise.ts";
import { type Grey, Pyramid } from "./grey.ts";
import { type KeyFrame, learnKeyFrame, lookFor, type Sighting } from "./keyFrame.ts";
import { onlyTurned } from "./onlyTurned.ts";
import {
  type CentreMotion,
  centreMotion,
  inverse,
  mapped,
  type PlaneMap,
  reachOf,
  type Size,
  STAYS,
} from "./planeMap.ts";
import { type Seen, seenFrom } from "./seenFrom.ts";
import { notAlikeText, type WhyNotAlike } from "./whyNotAlike.ts";

/** A number with its standard uncertainty. */
export interface Known {
  readonly value: number;
  readonly u: number;
}

/** Where the background of one clip is seen in another, at the picture's centre; signs as in `CentreMotion`. */
export interface TurnBetween {
  readonly alike: true;
  readonly dxPx: Known;
  readonly dyPx: Known;
  readonly turnDeg: Known;
  /** Of what stands still in the first clip and must be in view in the other, the share that was found there. */
  readonly share: number;
}

export interface NotAlike {
  readonly alike: false;
  readonly why: WhyNotAlike;
  /** For a person, with what to do. */
  readonly text: string;
}

/** Fewer corners don't speak for a background: some are hidden, and twelve must be found again. */
const LEAST_CORNERS = 24;
/** Of what must be in view: a camera carried aside sees near and far move differently, and few of them agree on one move. */
const LEAST_SHARE = 0.6;
/** So large a part of what agrees on one move, agreeing on another: near and far moved differently. */
const MOST_RIVAL = 0.2;
/** Pixels of the halved picture around a place in which it is looked for then. */
const AROUND = 8;
/** px; a place of the halved picture is found to so much. */
const WITHIN_PX = 2;
/** px, SD over the clip: more is a camera that was knocked or a picture that shakes, and one turn does not hold for the clip. */
const MOST_WITHIN_PX = 1;
/** px, root mean square over the picture: less of a zoom or of another place changes no metre that matters. */
const WORTH_PX = 0.5;
/** Standard deviations beyond which it is not chance; one in 370. */
const SURE = 3;
/** Where else the other picture may lie, in shares of it; each is looked around in by a tenth of the picture and more. */
const ASIDE = [0, 1, -1, 2, -2];
const ASIDE_SHARE = 0.15;

/**
 * Whether two clips were filmed by one camera from one place with one zoom, and by how much it was turned in between, from what
 * stands still in both pictures.
 *
 * @param one frames of a clip, spread from its start to its end, brightness as displayed
 * @param other frames of the clip in which the first one's background is looked for
 */
export function compareClips(one: readonly Grey[], other: readonly Grey[]): TurnBetween | NotAlike {
  const [a, b] = [one[0], other[0]];
  if (!a || !b) return not("bare");
  if (a.width !== b.width || a.height !== b.height) return not("size");
  const size: Size = { width: a.width, height: a.height };
  const [mine, its] = [clipOf(one), clipOf(other)];
  if (Math.min(mine.key.places.length, its.key.places.length) < LEAST_CORNERS) return not("bare");
  const [still, itsStill] = [scatterOf(mine, size), scatterOf(its, size)];
  if (!still || !itsStill) return not("bare");
  if (Math.max(...still.sds, ...itsStill.sds) > MOST_WITHIN_PX) return not("moves");
  const seen = firstSight(mine.key, its.frames[0]!, size);
  if (!seen || seen.share < LEAST_SHARE) return not("elsewhere");
  const unlike = changed(seen, size) ?? (hasRival(mine.key, its.frames[0]!, seen.map) ? "place" : null);
  if (unlike) return not(unlike);
  // The other way round what is read between pixels errs the other way.
  const back = seenFrom(its.key, mine.frames[0]!, {
    expected: inverse(seen.map),
    size,
    random: randomNumbers(1),
  });
  if (!back?.isTold) return not("elsewhere");
  const there = inPixels(centreMotion(seen.map, size), size);
  const again = inPixels(centreMotion(inverse(back.map), size), size);
  const variance = inPixels(seen.variance, size, true);
  const known = there.map((v, k) => ({
    value: (v + again[k]!) / 2 + itsStill.means[k]! - still.means[k]!,
    u: Math.hypot(Math.sqrt(variance[k]!), ALIKE_PX, (v - again[k]!) / 2, still.sds[k]!, itsStill.sds[k]!),
  }));
  const toDegrees = 180 / Math.PI / reachOf(size);
  const [dxPx, dyPx, turn] = known as [Known, Known, Known];
  const turnDeg = { value: turn.value * toDegrees, u: turn.u * toDegrees };
  return { alike: true, dxPx, dyPx, turnDeg, share: seen.share };
}

function not(why: WhyNotAlike): NotAlike {
  return { alike: false, why, text: notAlikeText(why) };
}

interface Clip {
  readonly key: KeyFrame;
  readonly frames: readonly Pyramid[];
}

const NONE: CentreMotion = { dxPx: 0, dyPx: 0, turnDeg: 0, scale: 0 };

function clipOf(greys: readonly Grey[]): Clip {
  const frames = greys.map((grey) => new Pyramid(grey));
  return { key: learnKeyFrame(frames[0]!, STAYS, NONE), frames };
}

interface Scatter {
  /** Of dx, dy and turn against the first frame, px. */
  readonly means: readonly number[];
  readonly sds: readonly number[];
}

/** How a clip lies about its own first frame; null where half of its frames don't tell. Learns what is background. */
function scatterOf({ key, frames }: Clip, size: Size): Scatter | null {
  const known = frames.slice(1).flatMap((picture, n) => {
    const seen = seenFrom(key, picture, { expected: STAYS, size, random: randomNumbers(n) });
    return seen?.isTold ? [inPixels(centreMotion(seen.map, size), size)] : [];
  });
  if (known.length < (frames.length - 1) / 2) return null;
  const all = [[0, 0, 0], ...known];
  const means = [0, 1, 2].map((k) => all.reduce((sum, m) => sum + m[k]!, 0) / all.length);
  const square = (k: number) => all.reduce((sum, m) => sum + (m[k]! - means[k]!) ** 2, 0);
  return { means, sds: means.map((_, k) => Math.sqrt(square(k) / Math.max(1, all.length - 1))) };
}

/** Dx, dy and turn in pixels at a typical place. */
function inPixels({ dxPx, dyPx, turnDeg }: CentreMotion, size: Size, squares = false): number[] {
  const turn = (reachOf(size) * Math.PI) / 180;
  return [dxPx, dyPx, turnDeg * (squares ? turn ** 2 : turn)];
}

/** The first clip's background in the other's picture: about where it was, else farther aside. */
function firstSight(key: KeyFrame, picture: Pyramid, size: Size): Seen | null {
  const starts = ASIDE.flatMap((i) => ASIDE.map((j) => [i, j] as const)).sort(
    ([a, b], [c, d]) => Math.hypot(a, b) - Math.hypot(c, d),
  );
  for (const [i, j] of starts) {
    const expected: PlaneMap = [
      1,
      0,
      i * ASIDE_SHARE * size.width,
      0,
      1,
      j * ASIDE_SHARE * size.height,
      0,
      0,
      1,
    ];
    const seen = seenFrom(key, picture, { expected, size, random: randomNumbers(1) });
    if (seen?.isTold && seen.share >= LEAST_SHARE) return seen;
  }
  return null;
}

/** What the camera did besides turning. */
function changed({ map, variance }: Seen, size: Size): "zoom" | "place" | null {
  const { turned, zoomed } = onlyTurned(map, size);
  const most = Math.max(WORTH_PX, SURE * Math.sqrt(variance.scale) * reachOf(size));
  if (turned <= most) return null;
  return zoomed <= most ? "zoom" : "place";
}

/** Whether many places that do not go with a map go together another way: what is near, or far. */
function hasRival(key: KeyFrame, picture: Pyramid, map: PlaneMap): boolean {
  const found = lookFor(key, picture, { level: 1, expected: map, around: AROUND });
  const isOff = ({ from, to }: Sighting) => {
    const at = mapped(map, from.x, from.y);
    return Math.hypot(at.x - to.x, at.y - to.y) > WITHIN_PX;
  };
  const off = found.filter(isOff);
  const rival = consensus(off, map, WITHIN_PX, randomNumbers(1));
  return rival !== null && rival.support > MOST_RIVAL * (found.length - off.length);
}
