import type { ClipMotion, IceReference, Picture } from "../../../study/types.ts";
import { Straightening } from "../../camera/bend.ts";
import type { LearnedLens } from "../../camera/learnedLens.ts";
import { type Matrix3, multiply } from "../../camera/matrix3.ts";
import type { PicturePoint } from "../../types.ts";

/** The ice points of a camera that pans, on some of its frames, and what else is known of it. */
export interface FollowedReference {
  readonly kind: "followed";
  readonly reference: Extract<IceReference, { kind: "ice-points-by-frame" }>;
  /** How its background moves on all of them; null = it has not been looked at. */
  readonly motion: ClipMotion | null;
  /** What other clips of the same camera have shown of its lens. */
  readonly learned?: LearnedLens;
}

/** Frames before and after one over which its picture's speed is taken. */
const AROUND = 2;

/** px, from frame to frame: how fast the picture moves at a place of it, right and down. */
export type Speed = readonly [number, number];

/** What a clip's background says of each frame: where what it shows is seen in another, and how fast it moves. */
export class Background {
  /** Frames that are told, in order. */
  readonly told: readonly number[];
  readonly picture: Picture;
  readonly #entries = new Map<number, readonly number[]>();
  readonly #maps = new Map<number, { readonly to: Matrix3; readonly back: Matrix3 }>();
  readonly #between = new Map<string, Matrix3>();
  readonly #knocks: readonly number[];
  /** The lens through which the pan was followed. */
  readonly #lens: Straightening | null;
  /** px a px panned: what is left open of that lens. */
  readonly drift: number;

  constructor({ first, frames, bumps, bend }: ClipMotion, picture: Picture) {
    this.picture = picture;
    this.#lens = bend ? new Straightening(bend, picture) : null;
    this.drift = bend?.drift ?? 0;
    frames.forEach((entry, k) => {
      if (entry) this.#entries.set(first + k, entry);
    });
    this.told = [...this.#entries.keys()];
    this.#knocks = bumps.map((b) => b.frame);
  }

  isTold(frame: number): boolean {
    return this.#entries.has(frame);
  }

  /** The knock that a frame lies at; it takes its time, and is found within two frames. */
  knockAt(frame: number): number | null {
    return this.#knocks.find((knock) => frame >= knock - 2 && frame <= knock + 1) ?? null;
  }

  /** Standard uncertainties of where a frame lies, and of its turn and growth at a typical place, px. */
  doubt(frame: number): { readonly shiftPx: number; readonly turnPx: number } {
    const entry = this.#entries.get(frame)!;
    return { shiftPx: entry[8]!, turnPx: entry[9]! };
  }

  /** Where what a told frame shows at a place is seen in another; null where that would lie behind the camera. */
  seenIn(to: number, from: number, { xPx, yPx }: PicturePoint): PicturePoint | null {
    const m = this.#mapBetween(to, from);
    const { x, y } = this.#lens?.straight(xPx, yPx) ?? { x: xPx, y: yPx };
    const w = m[6]! * x + m[7]! * y + m[8]!;
    if (!(w > 0)) return null;
    const [u, v] = [(m[0]! * x + m[1]! * y + m[2]!) / w, (m[3]! * x + m[4]! * y + m[5]!) / w];
    const at = this.#lens?.bent(u, v) ?? { x: u, y: v };
    return { xPx: at.x, yPx: at.y };
  }

  /** Null where too few of the frames around are told. */
  speed(frame: number, at: PicturePoint): Speed | null {
    const seen: (readonly [n: number, x: number, y: number])[] = [];
    for (let n = -AROUND; n <= AROUND; n++) {
      const other = frame + n;
      const [from, to] = [Math.min(frame, other), Math.max(frame, other)];
      if (!this.isTold(frame) || !this.isTold(other)) continue;
      if (this.#knocks.some((knock) => knock > from && knock <= to)) continue;
      const place = this.seenIn(other, frame, at);
      if (place) seen.push([n, place.xPx, place.yPx]);
    }
    if (seen.length < 3) return null;
    const mean = (k: 0 | 1 | 2) => seen.reduce((sum, s) => sum + s[k], 0) / seen.length;
    const [n0, x0, y0] = [mean(0), mean(1), mean(2)];
    const square = seen.reduce((sum, [n]) => sum + (n - n0) ** 2, 0);
    const slope = (k: 1 | 2, m: number) =>
      seen.reduce((sum, s) => sum + (s[0] - n0) * (s[k] - m), 0) / square;
    return [slope(1, x0), slope(2, y0)];
  }

  /**
   * How far a place is seen aside of where a shutter that opens at the middle row's time everywhere would have it, px for a shutter
   * that takes all of the time from frame to frame from the first row to the last.
   */
  slant(frame: number, at: PicturePoint): Speed {
    const speed = this.speed(frame, at);
    const share = (at.yPx - (this.picture.height - 1) / 2) / this.picture.height;
    return speed ? [share * speed[0], share * speed[1]] : [0, 0];
  }

  #mapBetween(to: number, from: number): Matrix3 {
    const key = `${to} ${from}`;
    const known = this.#between.get(key);
    if (known) return known;
    const made = multiply(this.#mapOf(to).to, this.#mapOf(from).back);
    this.#between.set(key, made);
    return made;
  }

  #mapOf(frame: number) {
    const known = this.#maps.get(frame);
    if (known) return known;
    const made = bothWays(this.#entries.get(frame)!);
    this.#maps.set(frame, made);
    return made;
  }
}

/** Of a clip whose background tells nothing of how it moves, the reference as it is. */
export function followed(
  motion: ClipMotion,
  reference: FollowedReference["reference"],
): FollowedReference | FollowedReference["reference"] {
  return motion.frames.some((entry) => entry) ? { kind: "followed", reference, motion } : reference;
}

/**
 * A frame's map and its inverse, by its first eight numbers, the ninth being 1. Of what a turning camera sees the determinant is
 * positive, which tells which side of it is in front, however far it has turned since the first frame.
 */
function bothWays(entry: readonly number[]) {
  const m = [...entry.slice(0, 8), 1];
  const at = (r: number, c: number) => m[3 * (r % 3) + (c % 3)]!;
  const adjoint = [0, 1, 2].flatMap((row) =>
    [0, 1, 2].map((c) => at(c + 1, row + 1) * at(c + 2, row + 2) - at(c + 1, row + 2) * at(c + 2, row + 1)),
  );
  const determinant = multiply(m, adjoint)[0]!;
  const size = Math.abs(determinant);
  return { to: m.map((v) => (determinant < 0 ? -v : v)), back: adjoint.map((v) => v / size) };
}
