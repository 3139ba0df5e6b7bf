import { median } from "../statistics/median.ts";
import { type Body, type BodyPoint, midHip, seen } from "./body.ts";

/** Limbs that keep time with the stride. */
const LIMBS: readonly BodyPoint[] = [
  "left_knee",
  "right_knee",
  "left_ankle",
  "right_ankle",
  "left_elbow",
  "right_elbow",
  "left_wrist",
  "right_wrist",
];

/** Real seconds before and after a frame that are compared: 7 frames at 60 a second. [measured on rendered clips] */
const HALF_WINDOW_S = 7 / 60;
/**
 * Farther than this from where it was, as a multiple of the body's size (about 12 cm), a limb counts as seen wrongly, and how
 * much farther says nothing more: else one frame of fifteen in which left is taken for right chooses the event.
 * [chosen on demo clips made black: docs/suggested-marks.md]
 */
const ELSEWHERE = 0.2;

/** A frame chosen by the rhythm, and what tells how surely. */
export interface Chosen {
  readonly frame: number;
  /** How far apart the known frames would have it, frames; null where one alone could choose. */
  readonly spread: number | null;
  /** 0 = the limbs lie as at the known frames, 1 = all of them elsewhere. */
  readonly elsewhere: number;
}

/**
 * How the limbs lie about mid-hip, per frame, as multiples of the body's size there. The same moment of another stride
 * looks alike, however large the skater is in the picture.
 */
export class Rhythm {
  readonly #poses: readonly (Float64Array | null)[];
  readonly #half: number;

  /**
   * @param bodies by frame; missing where no body was seen
   * @param sizes the body's smoothed size by frame, px
   * @param realInterval real seconds between frames
   */
  constructor(bodies: readonly (Body | undefined)[], sizes: (frame: number) => number, realInterval: number) {
    this.#half = Math.max(3, Math.round(HALF_WINDOW_S / realInterval));
    this.#poses = Array.from(bodies, (body, frame) => {
      if (!body) return null;
      const hip = midHip(body);
      const size = sizes(frame);
      return Float64Array.from(
        LIMBS.flatMap((name) => {
          const p = seen(body, name);
          return [(p.x - hip.x) / size, (p.y - hip.y) / size];
        }),
      );
    });
  }

  /**
   * Mean square difference of the limbs around two frames over the square of `ELSEWHERE`, none counted as farther than that
   * (least squares cut off; a known robust loss, no source looked up): 0 to 1. null where either window has a frame without a body.
   */
  unlike(a: number, b: number): number | null {
    let sum = 0;
    for (let k = -this.#half; k <= this.#half; k++) {
      const [pa, pb] = [this.#poses[a + k], this.#poses[b + k]];
      if (!pa || !pb) return null;
      for (let i = 0; i < pa.length; i += 2) {
        const square =
          ((pa[i] as number) - (pb[i] as number)) ** 2 + ((pa[i + 1] as number) - (pb[i + 1] as number)) ** 2;
        sum += Math.min(square / ELSEWHERE ** 2, 1);
      }
    }
    return sum / ((2 * this.#half + 1) * LIMBS.length);
  }

  /**
   * The frame most like the known ones within `reach` frames of `near`, each known frame one voice: the median of what
   * each would choose.
   */
  bestNear(known: readonly number[], near: number, reach: number): Chosen | null {
    const chosen = known.flatMap((k) => this.#bestFor(k, near, reach) ?? []);
    if (chosen.length === 0) return null;
    const frame = Math.round(median(chosen));
    const unlikes = known.flatMap((k) => this.unlike(k, frame) ?? []);
    return {
      frame,
      spread: chosen.length > 1 ? Math.max(...chosen) - Math.min(...chosen) : null,
      elsewhere: unlikes.length > 0 ? median(unlikes) : 1,
    };
  }

  /** Between frames by the bottom of a parabola; null where it may lie beyond what was looked at. */
  #bestFor(known: number, near: number, reach: number): number | null {
    const first = Math.ceil(near - reach);
    const unlikes = Array.from({ length: 2 * Math.floor(reach) + 1 }, (_, k) =>
      this.unlike(known, first + k),
    );
    let best = -1;
    unlikes.forEach((unlike, k) => {
      if (unlike !== null && (best < 0 || unlike < (unlikes[best] as number))) best = k;
    });
    const [before, least, after] = [unlikes[best - 1], unlikes[best], unlikes[best + 1]];
    if (before == null || least == null || after == null) return null;
    const bend = before + after - 2 * least;
    return first + best + (bend > 0 ? Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend))) : 0);
  }
}
