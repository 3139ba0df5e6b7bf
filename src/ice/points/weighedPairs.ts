import { type Homography, iceToPicture, type PointPair } from "../camera/homography.ts";

/** A pair, as marked in the picture, with the standard uncertainties of its two halves: of the mark (px) and of the taped place (m). */
export interface WeighedPair extends PointPair {
  readonly markSdPx: number;
  readonly placeSd: number;
}

/** Turns distances in the picture, px, into standard deviations of the pairs: two independent numbers a pair. */
export class Whitening {
  private readonly pairs: readonly WeighedPair[];
  /** Cholesky factor of each pair's 2 x 2 covariance: l11, l21, l22. */
  private readonly factors: Float64Array;

  /** @param h takes the ice to the picture, as far as it is known: a place's uncertainty is seen through it */
  constructor(pairs: readonly WeighedPair[], h: Homography) {
    this.pairs = pairs;
    this.factors = new Float64Array(3 * pairs.length);
    pairs.forEach((p, k) => {
      const [a, b, c, d] = slopes(h, p.x, p.y);
      const own = p.markSdPx ** 2;
      const place = p.placeSd ** 2;
      const l11 = Math.sqrt(own + place * (a * a + b * b));
      const l21 = (place * (a * c + b * d)) / l11;
      this.factors.set([l11, l21, Math.sqrt(own + place * (c * c + d * d) - l21 * l21)], 3 * k);
    });
  }

  /** Puts pair `k`'s predicted picture place (px) less its mark at `at` and after it. */
  residual(k: number, u: number, v: number, into: Float64Array, at: number): void {
    const { uPx, vPx } = this.pairs[k]!;
    this.distance(k, u - uPx, v - vPx, into, at);
  }

  /** Puts a change of pair `k`'s predicted picture place (px) at `at` and after it. */
  distance(k: number, du: number, dv: number, into: Float64Array, at: number): void {
    const { factors } = this;
    const first = du / factors[3 * k]!;
    into[at] = first;
    into[at + 1] = (dv - factors[3 * k + 1]! * first) / factors[3 * k + 2]!;
  }
}

/** ∂u/∂x, ∂u/∂y, ∂v/∂x, ∂v/∂y of a homography, px per metre. */
export function slopes(h: Homography, x: number, y: number): readonly [number, number, number, number] {
  const [u, v, w] = iceToPicture(h, x, y);
  return [(h[0]! - u * h[6]!) / w, (h[1]! - u * h[7]!) / w, (h[3]! - v * h[6]!) / w, (h[4]! - v * h[7]!) / w];
}
