import { Straightening } from "../ice/camera/bend.ts";
import { randomNumbers } from "../statistics/randomNumbers.ts";
import type { LearnedBend } from "../study/types.ts";
import { type Grey, Pyramid } from "./grey.ts";
import { type KeyFrame, learnKeyFrame, type Standing } from "./keyFrame.ts";
import { learnFrom, type Past, packed, pairOf, panOf } from "./pastPairs.ts";
import {
  type CentreMotion,
  centreMotion,
  chained,
  inverse,
  type PlaneMap,
  STAYS,
  seenAt,
} from "./planeMap.ts";
import { LEAST_PLACES, type Seen, seenAgain, seenFrom } from "./seenFrom.ts";

/** How the background of the start is seen in a frame, at the picture's centre: of frame 0, or of the first with enough to see. */
export interface FrameMotion extends CentreMotion {
  /** From the start's picture to this one's, both straightened where the lens bends them. */
  readonly map: PlaneMap;
  /** Variances of the four, each frame's own error and that of the key frame it was held against. */
  readonly variance: CentreMotion;
}

/** A clip's frames, null where the picture does not tell, and the lens they were seen through; null = it bends nothing that could be seen. */
export interface FollowedClip {
  readonly frames: readonly (FrameMotion | null)[];
  readonly bend: LearnedBend | null;
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
/** The lens is learned first when the camera has panned by so much of the picture's width, and again when by so much more. */
const FIRST_PAN = 0.03;
const MORE_PAN = 1.7;
/** Frames of which places are kept to learn it from, some kilobytes each; then it is taken as it is. */
const MOST_PAST = 4000;

/** A start of fewer places is given up where no other of so many frames is told by it: a clip that begins on bare ice, or in the dark. */
const FEW_PLACES = 24;
const PATIENCE = 8;

interface Found extends Seen {
  readonly key: KeyFrame;
}

/** A frame, how the start is seen in it, and its step from the one before. */
interface Way {
  readonly map: PlaneMap;
  readonly step: PlaneMap;
  readonly frame: number;
}

const NONE: CentreMotion = { dxPx: 0, dyPx: 0, turnDeg: 0, scale: 0 };

/**
 * Follows the camera through a clip by what stands still in front of it. To be given every frame once, in order; each answer is
 * against the start (frame 0, unless there is too little to see in it) or, where that is no longer in view, against a key frame that
 * was itself found against it, so that errors don't pile up from frame to frame. How the lens bends the picture is learned as the camera
 * pans; all frames are then found anew from their places.
 */
export class CameraFollower {
  #keys: KeyFrame[] = [];
  #size = { width: 0, height: 0 };
  #start = 0;
  /** The last frame that was told, and the last that was found at all: each may lead on where the other has gone astray. */
  #told: Way = { map: STAYS, step: STAYS, frame: 0 };
  #found: Way = this.#told;
  #frames: (FrameMotion | null)[] = [];
  #past: Past[] = [];
  #learned: LearnedBend | null = null;
  #lens: Straightening | null = null;
  /** How far the camera has panned, and when the lens is learned next; in widths. */
  #panned = 0;
  #learnsAt = FIRST_PAN;
  /** Whether the lens is taken as it was found. */
  #isSettled = false;

  /** @returns null where the picture does not tell */
  add(grey: Grey): FrameMotion | null {
    const picture = new Pyramid(grey);
    const frame = this.#frames.length;
    if (this.#starts(frame)) this.#startAt(frame, picture);
    const found = this.#find(picture, frame);
    this.#frames.push(found?.isTold ? this.#motion(found) : null);
    if (!found) return null;
    const { map, key, variance, isTold } = found;
    if (!isTold) {
      this.#found = gone(this.#found, map, frame);
      return null;
    }
    this.#told = gone(this.#told, map, frame);
    this.#found = this.#told;
    const leaves = this.#inView(key, map) < LEAVES_AT;
    const becomes = leaves ? learnKeyFrame(picture, map, variance) : null;
    const pan = panOf(map, key, this.#size);
    if (!this.#isSettled) {
      const pair = packed(found);
      this.#past.push({ frame, key: key.at, becomes: becomes?.at ?? null, pan, pair });
      if (this.#past.length >= MOST_PAST) this.#settle();
      else if (this.#panned + pan >= this.#learnsAt) {
        this.#learnsAt = MORE_PAN * (this.#panned + pan);
        this.#learn("the pan so far");
      }
    }
    if (becomes) {
      this.#panned += pan;
      this.#keys.push(becomes);
      if (this.#keys.length > MOST_KEYS) this.#keys.splice(1, 1);
    }
    return this.#frames[frame]!;
  }

  /** Whether the clip is begun with, or begun anew as nothing could be told by the start. */
  #starts(frame: number): boolean {
    const [start] = this.#keys;
    if (!start) return true;
    const { length } = start.places;
    if (length >= FEW_PLACES || this.#told.frame > this.#start) return false;
    return length < LEAST_PLACES || frame - this.#start >= PATIENCE;
  }

  #startAt(frame: number, picture: Pyramid): void {
    const { width, height } = picture.size;
    this.#size = { width, height };
    this.#start = frame;
    this.#keys = [learnKeyFrame(picture, STAYS, NONE)];
    this.#told = { map: STAYS, step: STAYS, frame };
    this.#found = this.#told;
    this.#frames = this.#frames.map(() => null);
    this.#past = [];
  }

  /** All frames, once there are no more: of those of before the lens was known as it is now. */
  end(): FollowedClip {
    if (!this.#isSettled) this.#settle();
    return { frames: this.#frames, bend: this.#learned };
  }

  #settle(): void {
    this.#learn("all of the pan");
    this.#past = [];
    this.#isSettled = true;
  }

  #motion({ map, variance }: Pick<Seen, "map" | "variance">): FrameMotion {
    return { ...centreMotion(map, this.#size, this.#lens), map, variance };
  }

  /** Learns the lens from what was seen so far, and finds anew through it what the next frames rest on; in the end all frames. */
  #learn(of: Parameters<typeof learnFrom>[3]): void {
    const learned = learnFrom(this.#past, this.#size, this.#lens, of);
    if (!learned && !this.#learned) return;
    this.#learned = learned;
    this.#lens = learned && new Straightening(learned, this.#size);
    const lost = new Set<Standing>();
    const restsOn = this.#past.length - 2;
    this.#past = this.#past.flatMap((past, k) => {
      const { frame, key, becomes } = past;
      if (of === "the pan so far" && !becomes && k < restsOn) return [past];
      const seen = lost.has(key) ? null : seenAgain(pairOf(past.pair), this.#lens, this.#size);
      if (!seen) {
        // What is held against it goes with it.
        if (becomes) lost.add(becomes);
        this.#frames[frame] = null;
        return [];
      }
      const found = { map: chained(seen.map, key.map), variance: sum(seen.variance, key.variance) };
      this.#frames[frame] = this.#motion(found);
      if (becomes) Object.assign(becomes, found);
      return [past];
    });
    this.#keys = this.#keys.filter((key) => !lost.has(key.at));
    this.#told = this.#wayNow();
    this.#found = this.#told;
  }

  /** The last two frames that are told. */
  #wayNow(): Way {
    const [before, last] = this.#past.slice(-2).map(({ frame }) => frame);
    if (before === undefined) return this.#told;
    if (last === undefined) return { ...this.#told, map: this.#frames[before]!.map, frame: before };
    const from = { ...this.#told, map: this.#frames[before]!.map, frame: before };
    return gone(from, this.#frames[last]!.map, last);
  }

  #find(picture: Pyramid, frame: number): Found | null {
    const size = this.#size;
    const lens = this.#lens;
    const random = randomNumbers(frame);
    const ways = this.#found === this.#told ? [this.#told] : [this.#found, this.#told];
    // Where it was; or moving on as it did then.
    const wheres = ways.flatMap((way) => [way.map, onward(way, frame)]);
    let untold: Found | null = null;
    for (const wholly of wheres) {
      const key = this.#keyFor(wholly);
      const expected = chained(wholly, inverse(key.at.map));
      const seen = seenFrom(key, picture, { expected, size, random, lens });
      if (!seen) continue;
      const map = chained(seen.map, key.at.map);
      const found = { ...seen, map, variance: sum(seen.variance, key.at.variance), key };
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
    const fromKey = chained(map, inverse(key.at.map));
    const { width, height } = this.#size;
    const { scale } = centreMotion(fromKey, this.#size, this.#lens);
    if (!(scale < MOST_SCALE && scale > 1 / MOST_SCALE)) return 0;
    const inside = key.places.filter(({ corner }) => {
      const { x, y } = seenAt(fromKey, corner.x, corner.y, this.#lens);
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
