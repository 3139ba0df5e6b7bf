import type { Bend, Picture } from "../../study/types.ts";

/** How a small neighbourhood is turned and stretched: [dX/dx, dX/dy, dY/dx, dY/dy]. */
export type Stretch = readonly [number, number, number, number];

/** px; nearer to the centre no lens bends anything. */
const NEAR_CENTRE = 1e-9;
/** Of what it is at the centre: a lens whose picture would be stretched out less or more at a corner is none. */
const LEAST_GROWTH = 0.3;
const MOST_GROWTH = 3;
const ROUNDS = 20;
/** Half diagonals: less is no change. */
const SETTLED = 1e-9;

interface Point {
  readonly x: number;
  readonly y: number;
}

/**
 * A picture as a lens bends it, and as it would be without: places of the one in the other, px.
 *
 * @see Fitzgibbon (2001), Simultaneous linear estimation of multiple view geometry and lens distortion, CVPR: the division model, of
 *   which one number does for most lenses; with the second also for those that a polynomial of the other direction describes
 */
export class Straightening {
  readonly bend: Bend;
  readonly #centre: Point;
  /** Half the diagonal, px. */
  readonly #unit: number;
  /** Where the corner would be seen, and how fast that goes on: beyond it the lens is not known, and all goes on straight. */
  readonly #edge: number;
  readonly #slope: number;

  constructor(bend: Bend, { width, height }: Picture) {
    this.bend = bend;
    this.#centre = { x: (width - 1) / 2, y: (height - 1) / 2 };
    this.#unit = Math.hypot(this.#centre.x, this.#centre.y);
    this.#edge = 1 / (1 + bend.second + bend.fourth);
    this.#slope = growth(bend, 1);
  }

  /** Where a place of the picture would be seen without the lens. */
  straight(x: number, y: number): Point {
    return this.#along(x, y, (r) => this.#outwards(r));
  }

  /** Where the lens shows what would be seen at a place without it. */
  bent(x: number, y: number): Point {
    return this.#along(x, y, (r) => this.#inwards(r));
  }

  /** How the neighbourhood of a place of the picture is stretched by straightening it. */
  stretch(x: number, y: number): Stretch {
    const [dx, dy] = [x - this.#centre.x, y - this.#centre.y];
    const far = Math.hypot(dx, dy);
    if (far < NEAR_CENTRE) return [1, 0, 0, 1];
    const r = far / this.#unit;
    const around = this.#outwards(r) / r;
    const more = (r < 1 ? growth(this.bend, r) : this.#slope) - around;
    const [c, s] = [dx / far, dy / far];
    return [around + more * c * c, more * c * s, more * c * s, around + more * s * s];
  }

  #along(x: number, y: number, at: (r: number) => number): Point {
    const { x: cx, y: cy } = this.#centre;
    const far = Math.hypot(x - cx, y - cy);
    if (far < NEAR_CENTRE) return { x, y };
    const times = (at(far / this.#unit) * this.#unit) / far;
    return { x: cx + times * (x - cx), y: cy + times * (y - cy) };
  }

  #outwards(r: number): number {
    if (r > 1) return this.#edge + this.#slope * (r - 1);
    return r / (1 + this.bend.second * r ** 2 + this.bend.fourth * r ** 4);
  }

  /** The inverse, by Newton's method. */
  #inwards(straight: number): number {
    if (straight > this.#edge) return 1 + (straight - this.#edge) / this.#slope;
    let r = Math.min(1, straight);
    for (let round = 0; round < ROUNDS; round++) {
      const step = (this.#outwards(r) - straight) / growth(this.bend, r);
      r = Math.max(0, Math.min(1, r - step));
      if (Math.abs(step) < SETTLED) break;
    }
    return r;
  }
}

/** How the straight radius follows the seen one. */
function growth({ second, fourth }: Bend, r: number): number {
  return (1 - second * r ** 2 - 3 * fourth * r ** 4) / (1 + second * r ** 2 + fourth * r ** 4) ** 2;
}

/** Whether a lens can be so: each place of the picture seen once, and none of it squeezed or drawn out too much. */
export function isLens(bend: Bend): boolean {
  return [0.25, 0.5, 0.75, 1].every((r) => {
    const grown = growth(bend, r);
    const share = 1 + bend.second * r ** 2 + bend.fourth * r ** 4;
    return share > 0 && grown > LEAST_GROWTH && grown < MOST_GROWTH;
  });
}
