import type { Lens } from "../../../study/types.ts";
import { isWithinReach, undistort } from "../../camera/lens.ts";
import { type Matrix3, rotated } from "../../camera/matrix3.ts";
import { choleskyFactor, solveFactored } from "../../numeric/positiveDefinite.ts";
import type { PicturePoint } from "../../types.ts";
import type { Background, Speed } from "./background.ts";

/** How the camera of a step between two frames sees. */
export interface Eye {
  readonly cx: number;
  readonly cy: number;
  readonly lens: Lens;
  /** Of the time from frame to frame, what its shutter takes from the first row to the last. */
  readonly shutter: number;
}

/** What a camera did from one frame to another. */
export interface Turn {
  /** Takes directions in the first frame's camera axes into the other's. */
  readonly rotation: Matrix3;
  /** Growth of the log focal length. */
  readonly zoom: number;
}

const ROUNDS = 6;
/** A turn so small, rad, changes nothing more. */
const SETTLED = 1e-11;
/** Places of the picture by which a step is read, and how many of them must be in both pictures. */
const ACROSS = [0.1, 0.3, 0.5, 0.7, 0.9];
const DOWN = [0.15, 0.38, 0.62, 0.85];
const LEAST = 6;

/**
 * The turn (and zoom) of the camera from one told frame to another that shows much of the same, by where the background of places
 * all over the picture is seen in both: what lens and shutter do to them is taken out first.
 *
 * @param focals of the two frames, px; the second as far as it is known
 * @param zooms whether the second focal length is to be found
 * @returns null where the two frames have too little in common
 */
export function turnBetween(
  background: Background,
  eye: Eye,
  [from, to]: readonly [number, number],
  [f0, f1]: readonly [number, number],
  zooms: boolean,
): Turn | null {
  const seen = pairsOf(background, from, to);
  if (seen.length < LEAST) return null;
  const before = seen.map(({ one, slantOne }) => directionOf(eye, f0, upright(one, slantOne, eye)));
  const after = seen.map(({ other, slantOther }) => upright(other, slantOther, eye));
  const fixed = zooms ? null : after.map((place) => directionOf(eye, f1, place));
  let rotation: Matrix3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];
  let zoom = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const n = zooms ? 4 : 3;
    const normal = new Array<number>(n * n).fill(0);
    const right = new Array<number>(n).fill(0);
    for (let k = 0; k < seen.length; k++) {
      const [a, b] = before[k]!;
      const [x, y] = fixed ? fixed[k]! : directionOf(eye, f0 * Math.exp(zoom), after[k]!);
      const r = rotation;
      const depth = r[6]! * a + r[7]! * b + r[8]!;
      const [px, py] = [(r[0]! * a + r[1]! * b + r[2]!) / depth, (r[3]! * a + r[4]! * b + r[5]!) / depth];
      // What a small turn about each axis, and a longer focal length, move the seen minus the expected place by.
      const rows = [
        [-px * py, -1 - py * py, px - x],
        [1 + px * px, px * py, py - y],
        [-py, px, 0],
        [x, y, 0],
      ];
      for (let i = 0; i < n; i++) {
        const [ix, iy] = rows[i]!;
        right[i]! += ix! * (x - px) + iy! * (y - py);
        for (let j = 0; j < n; j++) normal[i * n + j]! += ix! * rows[j]![0]! + iy! * rows[j]![1]!;
      }
    }
    const factor = choleskyFactor(normal, n);
    if (!factor) return null;
    solveFactored(factor, right);
    rotation = rotated([right[0]!, right[1]!, right[2]!], rotation);
    zoom += right[3] ?? 0;
    if (Math.hypot(...right) < SETTLED) break;
  }
  return { rotation, zoom };
}

type Place = readonly [x: number, y: number];

/** A place of the background in two frames, px, and what a shutter of all the time between frames does to it in each. */
interface SeenTwice {
  readonly one: PicturePoint;
  readonly other: PicturePoint;
  readonly slantOne: Speed;
  readonly slantOther: Speed;
}

const pairs = new WeakMap<Background, Map<string, readonly SeenTwice[]>>();

/** Asked for again with every number that the turns are read through. */
function pairsOf(background: Background, from: number, to: number): readonly SeenTwice[] {
  const all = pairs.get(background) ?? new Map<string, readonly SeenTwice[]>();
  pairs.set(background, all);
  const key = `${from} ${to}`;
  const made = all.get(key) ?? seenTwice(background, from, to);
  all.set(key, made);
  return made;
}

function seenTwice(background: Background, from: number, to: number): SeenTwice[] {
  const { width, height } = background.picture;
  return DOWN.flatMap((down) =>
    ACROSS.flatMap((across) => {
      const other = { xPx: across * (width - 1), yPx: down * (height - 1) };
      const one = background.seenIn(from, to, other);
      if (!one || one.xPx < 0 || one.yPx < 0 || one.xPx > width - 1 || one.yPx > height - 1) return [];
      return [{ one, other, slantOne: background.slant(from, one), slantOther: background.slant(to, other) }];
    }),
  );
}

function upright({ xPx, yPx }: PicturePoint, [dx, dy]: Speed, { shutter }: Eye): Place {
  return [xPx - shutter * dx, yPx - shutter * dy];
}

/** In focal lengths from the axis, the lens taken out; beyond its reach as it is seen. */
function directionOf({ cx, cy, lens }: Eye, focalPx: number, [u, v]: Place): Place {
  const frame = { cx, cy, focalPx };
  const [x, y] = isWithinReach(lens, frame, u, v) ? undistort(lens, frame, u, v) : [u, v];
  return [(x - cx) / focalPx, (y - cy) / focalPx];
}

/** The turn that a rotation is (see `rotated`): its logarithm, for turns well below half a circle. */
export function turnOf(rotation: Matrix3): [number, number, number] {
  const r = rotation;
  const twice: [number, number, number] = [r[7]! - r[5]!, r[2]! - r[6]!, r[3]! - r[1]!];
  const sine = Math.hypot(...twice) / 2;
  const angle = Math.atan2(sine, (r[0]! + r[4]! + r[8]! - 1) / 2);
  const share = sine < 1e-9 ? 0.5 : angle / (2 * sine);
  return [share * twice[0], share * twice[1], share * twice[2]];
}
