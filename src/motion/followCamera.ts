import { randomNumbers } from "../statistics/randomNumbers.ts";
import { type Grey, Pyramid } from "./grey.ts";
import { type KeyFrame, learnKeyFrame } from "./keyFrame.ts";
import {
  type CentreMotion,
  centreMotion,
  chained,
  inverse,
  mapped,
  type PlaneMap,
  STAYS,
} from "./planeMap.ts";
import { type Seen, seenFrom } from "./seenFrom.ts";

/** How the background of frame 0 is seen in a frame, at the picture's centre. */
export interface FrameMotion extends CentreMotion {
  readonly map: PlaneMap;
  /** Variances of the four, each frame's own error and that of the key frame it was held against. */
  readonly variance: CentreMotion;
}

/**
 * Share of a key frame's places that must be in view to go on with it, and to come back to an earlier one. From half of them the rest of the
 * picture is told badly: over drawn pans of a width and a half 0.5 errs by 0.28 px at the end, 0.7 by 0.05.
 */
const LEAVES_AT = 0.7;
const BACK_AT = 0.8;
/** Enlarged or reduced by more than this against its key frame a place does not look the same any more. */
const MOST_SCALE = 1.6;
/** Key frames kept: those of a long pan are not needed again, and each takes some megabytes. */
const MOST_KEYS = 24;

interface Found extends Pick<Seen, "map" | "variance" | "isTold"> {
  readonly key: KeyFrame;
}

/** A frame, how frame 0 is seen in it, and its step from the one before. */
interface Way {
  readonly map: PlaneMap;
  readonly step: PlaneMap;
  readonly frame: number;
}

const NONE: CentreMotion = { dxPx: 0, dyPx: 0, turnDeg: 0, scale: 0 };

/**
 * Follows the camera through a clip by what stands still in front of it. To be given every frame once, in order; each answer is
 * against frame 0 or, where that is no longer in view, against a key frame that was itself found against it, so that errors don't
 * pile up from frame to frame.
 */
export class CameraFollower {
  #keys: KeyFrame[] = [];
  #size = { width: 0, height: 0 };
  /** The last frame that was told, and the last that was found at all: each may lead on where the other has gone astray. */
  #told: Way = { map: STAYS, step: STAYS, frame: 0 };
  #found: Way = this.#told;
  #frames = 0;

  /** @returns null where the picture does not tell */
  add(grey: Grey): FrameMotion | null {
    const picture = new Pyramid(grey);
    const frame = this.#frames++;
    if (frame === 0) {
      this.#size = { width: grey.width, height: grey.height };
      this.#keys = [learnKeyFrame(picture, STAYS, NONE)];
    }
    const found = this.#find(picture, frame);
    if (!found) return null;
    const { map, key, variance, isTold } = found;
    if (!isTold) {
      this.#found = gone(this.#found, map, frame);
      return null;
    }
    this.#told = gone(this.#told, map, frame);
    this.#found = this.#told;
    if (this.#inView(key, map) < LEAVES_AT) {
      this.#keys.push(learnKeyFrame(picture, map, variance));
      if (this.#keys.length > MOST_KEYS) this.#keys.splice(1, 1);
    }
    return { ...centreMotion(map, this.#size), map, variance };
  }

  #find(picture: Pyramid, frame: number): Found | null {
    const size = this.#size;
    const random = randomNumbers(frame);
    const ways = this.#found === this.#told ? [this.#told] : [this.#found, this.#told];
    // Where it was; or moving on as it did then.
    const wheres = ways.flatMap((way) => [way.map, onward(way, frame)]);
    let untold: Found | null = null;
    for (const wholly of wheres) {
      const key = this.#keyFor(wholly);
      const expected = chained(wholly, inverse(key.map));
      const seen = seenFrom(key, picture, { expected, size, random });
      if (!seen) continue;
      const map = chained(seen.map, key.map);
      const found = { map, variance: sum(seen.variance, key.variance), isTold: seen.isTold, key };
      if (found.isTold) return found;
      untold ??= found;
    }
    return untold;
  }

  /** The earliest key frame of which enough is in view; else the one of which most is. */
  #keyFor(expected: PlaneMap): KeyFrame {
    const shares = this.#keys.map((key) => this.#inView(key, expected));
    const earliest = shares.findIndex((share) => share >= BACK_AT);
    return this.#keys[earliest >= 0 ? earliest : shares.indexOf(Math.max(...shares))]!;
  }

  /** Share of a key frame's places that lie in the picture; 0 where they look too large or small. */
  #inView(key: KeyFrame, map: PlaneMap): number {
    const fromKey = chained(map, inverse(key.map));
    const { width, height } = this.#size;
    const { scale } = centreMotion(fromKey, this.#size);
    if (!(scale < MOST_SCALE && scale > 1 / MOST_SCALE)) return 0;
    const inside = key.places.filter(({ corner }) => {
      const { x, y } = mapped(fromKey, corner.x, corner.y);
      return x > 0 && y > 0 && x < width - 1 && y < height - 1;
    });
    return inside.length / Math.max(1, key.places.length);
  }
}

function gone(from: Way, map: PlaneMap, frame: number): Way {
  return { map, step: frame === from.frame + 1 ? chained(map, inverse(from.map)) : from.step, frame };
}

/** Where the camera would have moved on to. */
function onward({ map, step, frame }: Way, now: number): PlaneMap {
  let on = map;
  for (let n = frame; n < now; n++) on = chained(step, on);
  return on;
}

function sum(a: CentreMotion, b: CentreMotion): CentreMotion {
  return {
    dxPx: a.dxPx + b.dxPx,
    dyPx: a.dyPx + b.dyPx,
    turnDeg: a.turnDeg + b.turnDeg,
    scale: a.scale + b.scale,
  };
}
