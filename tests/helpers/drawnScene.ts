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

/** Something that moves by itself before the background: a disc with dots of its own, or so many times as tall. */
export interface Passer {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  readonly tall?: number;
}

/**
 * A scene drawn in closed form, so that where its parts are seen is known to any part of a pixel: Gaussian spots of many sizes on
 * grey, as far as 60 px beyond the picture's edges where nothing else is said. No code of `src`.
 */
export class DrawnScene {
  readonly #spots: readonly Blob[];

  /**
   * @param aside px beyond the left and right edges
   * @param down px below the top edge at most, as of boards above bare ice
   */
  constructor(
    readonly width: number,
    readonly height: number,
    seed = 1,
    { aside = 60, down = height + 60 }: { readonly aside?: number; readonly down?: number } = {},
  ) {
    const random = seeded(seed);
    const [across, high] = [width + 2 * aside, down + 60];
    this.#spots = Array.from({ length: Math.round((across * high) / 90) }, () => ({
      x: -aside + random() * across,
      y: -60 + random() * high,
      size: 1.6 + 1.8 * random(),
      level: (random() < 0.5 ? -1 : 1) * (25 + 45 * random()),
    }));
  }

  /** What the camera sees, with a sensor's noise (SD in grey levels) where `random` is given. */
  seen(
    { dx = 0, dy = 0, turnDeg = 0, scale = 1 }: Shift,
    {
      passer,
      noise,
      where = (x, y) => [x, y],
    }: {
      passer?: Passer;
      noise?: { sd: number; random: () => number };
      /** Where a place of the scene is seen, px, before the shift: as by a camera that turns, through its lens. null = not at all. */
      where?: (x: number, y: number) => readonly [number, number] | null;
    } = {},
  ): Grey {
    const { width, height } = this;
    const light = new Float64Array(width * height).fill(120);
    const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
    const angle = (turnDeg * Math.PI) / 180;
    const [c, s] = [scale * Math.cos(angle), scale * Math.sin(angle)];
    for (const { x, y, size, level } of this.#spots) {
      const at = where(x, y);
      if (!at) continue;
      const [u, v] = [at[0] - cx, at[1] - cy];
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

  #cover(light: Float64Array, { x, y, radius, tall = 1 }: Passer): void {
    const reach = radius * tall;
    for (let py = Math.max(0, Math.ceil(y - reach)); py <= Math.min(this.height - 1, y + reach); py++)
      for (let px = Math.max(0, Math.ceil(x - radius)); px <= Math.min(this.width - 1, x + radius); px++)
        if (Math.hypot(px - x, (py - y) / tall) < radius)
          light[py * this.width + px] = 120 + 70 * Math.sin(0.7 * (px - x)) * Math.cos(0.6 * (py - y));
  }
}
