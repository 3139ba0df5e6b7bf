import type { Grey } from "../../src/motion/grey.ts";
import { normal, seeded } from "./random.ts";

/** How a camera moves the picture about its centre: px right and down, degrees clockwise as displayed, times its size. */
export interface Shift {
  readonly dx?: number;
  readonly dy?: number;
  readonly turnDeg?: number;
  readonly scale?: number;
}

interface Blob {
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly level: number;
}

/** Something that moves by itself before the background: a disc with dots of its own. */
export interface Passer {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

/**
 * A scene drawn in closed form, so that where its parts are seen is known to any part of a pixel: Gaussian spots of many sizes on
 * grey, as far as 60 px beyond the picture's edges. No code of `src`.
 */
export class DrawnScene {
  readonly #spots: readonly Blob[];

  constructor(
    readonly width: number,
    readonly height: number,
    seed = 1,
  ) {
    const random = seeded(seed);
    this.#spots = Array.from({ length: Math.round(((width + 120) * (height + 120)) / 90) }, () => ({
      x: -60 + random() * (width + 120),
      y: -60 + random() * (height + 120),
      size: 1.6 + 1.8 * random(),
      level: (random() < 0.5 ? -1 : 1) * (25 + 45 * random()),
    }));
  }

  /** What the camera sees, with a sensor's noise (SD in grey levels) where `random` is given. */
  seen(
    { dx = 0, dy = 0, turnDeg = 0, scale = 1 }: Shift,
    { passer, noise }: { passer?: Passer; noise?: { sd: number; random: () => number } } = {},
  ): Grey {
    const { width, height } = this;
    const light = new Float64Array(width * height).fill(120);
    const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
    const angle = (turnDeg * Math.PI) / 180;
    const [c, s] = [scale * Math.cos(angle), scale * Math.sin(angle)];
    for (const { x, y, size, level } of this.#spots) {
      const [u, v] = [x - cx, y - cy];
      this.#paint(light, {
        x: cx + dx + c * u - s * v,
        y: cy + dy + s * u + c * v,
        size: size * scale,
        level,
      });
    }
    if (passer) this.#cover(light, passer);

    const data = Uint8Array.from(light, (v) =>
      Math.max(0, Math.min(255, Math.round(v + (noise ? noise.sd * normal(noise.random) : 0)))),
    );
    return { width, height, data };
  }

  #paint(light: Float64Array, { x, y, size, level }: Blob): void {
    const reach = 4 * size;
    for (let py = Math.max(0, Math.ceil(y - reach)); py <= Math.min(this.height - 1, y + reach); py++)
      for (let px = Math.max(0, Math.ceil(x - reach)); px <= Math.min(this.width - 1, x + reach); px++)
        light[py * this.width + px]! +=
          level * Math.exp(-((px - x) ** 2 + (py - y) ** 2) / (2 * size * size));
  }

  #cover(light: Float64Array, { x, y, radius }: Passer): void {
    for (let py = Math.max(0, Math.ceil(y - radius)); py <= Math.min(this.height - 1, y + radius); py++)
      for (let px = Math.max(0, Math.ceil(x - radius)); px <= Math.min(this.width - 1, x + radius); px++)
        if (Math.hypot(px - x, py - y) < radius)
          light[py * this.width + px] = 120 + 70 * Math.sin(0.7 * (px - x)) * Math.cos(0.6 * (py - y));
  }
}
