import type { Grey } from "../../../src/motion/grey.ts";
import { bending, type Filmer, inner, type Vec } from "../lens.ts";
import { type Dice, dice } from "../random.ts";

/** Degrees of a pixel of the surroundings, and how far they reach: all around, from the ice nearby to the roof. */
const FINE = 0.05;
const LOWEST = -45;
const HIGHEST = 25;
const AROUND = 360 / FINE;
const ROWS = (HIGHEST - LOWEST) / FINE;

/** What stands around a camera that only turns, by direction: boards and stands, bare ice with few traces below them. */
export class Surroundings {
  readonly #grey: Float32Array;

  /**
   * @param boardsDeg below the horizon, where the ice meets the boards
   * @param lettered boards of hard-edged panels with letters, which a coder keeps; else all is as soft as a cloud
   */
  constructor(seed: number, boardsDeg: number, lettered = false) {
    this.#grey = new Float32Array(AROUND * ROWS).fill(128);
    const d = dice(seed, 4242);
    for (const [cellDeg, size] of [
      [6, 20],
      [2, 26],
      [0.7, 26],
      [0.3, 16],
    ] as const)
      addNoise(this.#grey, d, cellDeg, size);
    for (let row = 0; row < ROWS; row++) {
      const elevation = LOWEST + row * FINE;
      // The ice is pale and nearly even.
      const share = elevation > -boardsDeg ? 1 : 0.12;
      const base = elevation > -boardsDeg ? 118 : 205;
      for (let k = 0; k < AROUND; k++) {
        const at = row * AROUND + k;
        this.#grey[at] = base + share * (this.#grey[at]! - 128);
      }
    }
    if (lettered) this.#letter(dice(seed, 777), -boardsDeg);
  }

  /** Panels 4° high all around, letters of strokes on most of them. */
  #letter(d: Dice, bottom: number): void {
    for (let from = 0; from < 357; ) {
      const wide = d.even(3, 10);
      const base = d.even(60, 220);
      this.#fill([from, bottom + 0.4], [wide - 0.4, 3.4], base);
      const ink = base > 140 ? d.even(20, 80) : d.even(200, 240);
      for (let at = from + 0.4; at < from + wide - 1; at += d.even(0.6, 1.2)) {
        const tall = d.even(0.9, 2.2);
        this.#fill([at, bottom + 1], [0.2, tall], ink);
        if (d.chance(0.6)) this.#fill([at, bottom + 1 + d.even(0, tall)], [0.5, 0.2], ink);
      }
      from += wide;
    }
  }

  #fill(
    [left, low]: readonly [number, number],
    [wide, high]: readonly [number, number],
    level: number,
  ): void {
    const [first, last] = [low, low + high].map((deg) => Math.round((deg - LOWEST) / FINE)) as [
      number,
      number,
    ];
    for (let row = first; row < last; row++)
      for (let k = Math.round(left / FINE); k < Math.round((left + wide) / FINE); k++)
        this.#grey[row * AROUND + (k % AROUND)] = level;
  }

  /** Brightness in a direction. */
  at(v: Vec): number {
    const azimuth = (Math.atan2(v[1], v[0]) * 180) / Math.PI + 180;
    const elevation = (Math.atan2(v[2], Math.hypot(v[0], v[1])) * 180) / Math.PI;
    const x = azimuth / FINE;
    const y = Math.min(ROWS - 1.001, Math.max(0, (elevation - LOWEST) / FINE));
    const [i, j] = [Math.floor(x), Math.floor(y)];
    const [fx, fy] = [x - i, y - j];
    const g = (a: number, b: number) => this.#grey[b * AROUND + (a % AROUND)]!;
    return (
      (1 - fy) * ((1 - fx) * g(i, j) + fx * g(i + 1, j)) +
      fy * ((1 - fx) * g(i, j + 1) + fx * g(i + 1, j + 1))
    );
  }
}

/** Values drawn a cell, joined smoothly: value noise. */
function addNoise(into: Float32Array, d: Dice, cellDeg: number, size: number): void {
  const [columns, rows] = [Math.round(360 / cellDeg), Math.ceil((HIGHEST - LOWEST) / cellDeg) + 2];
  const values = Float32Array.from({ length: columns * rows }, () => d.normal(size));
  const ease = (t: number) => t * t * (3 - 2 * t);
  for (let row = 0; row < ROWS; row++) {
    const y = (row * FINE) / cellDeg;
    const [j, fy] = [Math.floor(y), ease(y - Math.floor(y))];
    for (let k = 0; k < AROUND; k++) {
      const x = (k / AROUND) * columns;
      const [i, fx] = [Math.floor(x), ease(x - Math.floor(x))];
      const v = (a: number, b: number) => values[b * columns + (a % columns)]!;
      into[row * AROUND + k]! +=
        (1 - fy) * ((1 - fx) * v(i, j) + fx * v(i + 1, j)) +
        fy * ((1 - fx) * v(i, j + 1) + fx * v(i + 1, j + 1));
    }
  }
}

/** Somebody in front of the surroundings: where the middle is seen, and half of how wide and tall, px. */
export interface Figure {
  readonly x: number;
  readonly y: number;
  readonly wide: number;
  readonly tall: number;
}

/** One frame: each row as the camera was while it was read, with the sensor's noise; nothing around is finer than a pixel. */
export function paint(camera: Filmer, around: Surroundings, noise: Dice, figure?: Figure): Grey {
  const { width, height } = camera;
  const data = new Uint8Array(width * height);
  const [dx, dy] = camera.shift ?? [0, 0];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [px, py] = [x - dx, y - dy];
      const [a, b] = figure ? [(x - figure.x) / figure.wide, (y - figure.y) / figure.tall] : [2, 2];
      if (a * a + b * b < 1) {
        // Clothes with edges of their own, which move with the skater.
        const cloth = 70 + 40 * Math.sin(9 * a + 2 * b) * Math.sin(7 * b - a);
        data[y * width + x] = Math.max(0, Math.round(cloth + noise.normal(2.5)));
        continue;
      }
      const v = directionOf(camera.row ? rowCamera(camera, py) : camera, px, py);
      data[y * width + x] = Math.max(0, Math.min(255, Math.round(around.at(v) + noise.normal(2.5))));
    }
  }
  return { width, height, data };
}

const rows = new WeakMap<Filmer, Map<number, Filmer>>();

/** Each row's camera is worked out once. */
function rowCamera(camera: Filmer, y: number): Filmer {
  const known = rows.get(camera) ?? new Map<number, Filmer>();
  rows.set(camera, known);
  const at = known.get(y) ?? camera.row!(y);
  known.set(y, at);
  return at;
}

/** The direction seen at a pixel, by Newton's method through the lens. */
function directionOf(f: Filmer, x: number, y: number): Vec {
  const [a, b] = [(x - (f.width - 1) / 2) / f.focal, (y - (f.height - 1) / 2) / f.focal];
  let share = 1;
  if (f.k1 !== 0 || f.k2 !== 0 || f.angles !== undefined) {
    const seen = Math.hypot(a, b);
    let r = seen;
    for (let round = 0; round < 8; round++) r -= (r * bending(f, r * r) - seen) / growth(f, r);
    share = seen === 0 ? 1 : r / seen;
  }
  const v = [0, 1, 2].map((k) => share * (a * f.right[k]! + b * f.down[k]!) + f.into[k]!);
  return [v[0]!, v[1]!, v[2]!];
}

/** How the seen radius follows the true one. */
function growth({ k1, k2, angles }: Filmer, r: number): number {
  return angles === undefined ? 1 + 3 * k1 * r * r + 5 * k2 * r ** 4 : 1 / (1 + (angles * r) ** 2);
}

/** Where one camera sees what another in the same place sees at a pixel. */
export function seenAgain(
  one: Filmer,
  other: Filmer,
  x: number,
  y: number,
): readonly [number, number] | null {
  const [ox, oy] = one.shift ?? [0, 0];
  const v = directionOf(one.row ? one.row(y - oy) : one, x - ox, y - oy);
  const at = (f: Filmer): readonly [number, number] | null => {
    const depth = inner(v, f.into);
    if (depth <= 0.05) return null;
    const [a, b] = [inner(v, f.right) / depth, inner(v, f.down) / depth];
    // As in `see`: far aside these terms would fold what is not in view back into the picture.
    if (a * a + b * b > 3) return null;
    const bent = bending(f, a * a + b * b);
    return [(f.width - 1) / 2 + f.focal * a * bent, (f.height - 1) / 2 + f.focal * b * bent];
  };
  let seen = at(other);
  for (let round = 0; other.row && seen && round < 6; round++) seen = at(other.row(seen[1]));
  const [sx, sy] = other.shift ?? [0, 0];
  return seen && [seen[0] + sx, seen[1] + sy];
}
