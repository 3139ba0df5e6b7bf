/** Draws the timing display frame by frame: no browser, a few flat shapes. */
import type { Camera } from "./camera.ts";
import {
  BARS,
  type Bar,
  barOf,
  type ClockSpec,
  FACE,
  HOUSING,
  LIT,
  PLACES,
  pointShape,
  type Spot,
  seenAt,
  shownAt,
} from "./clock.ts";
import { seeded } from "./random.ts";

/** How much of each pixel a shape covers: rows of a box around it. */
interface Cover {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly share: Float32Array;
}

const FINE = 5;

function cover(camera: Camera, shape: readonly Spot[]): Cover {
  const at = shape.map((p) => seenAt(camera, p));
  const [xs, ys] = [at.map((p) => p[0]), at.map((p) => p[1])];
  const [left, top] = [Math.floor(Math.min(...xs)) - 1, Math.floor(Math.min(...ys)) - 1];
  const width = Math.ceil(Math.max(...xs)) + 2 - left;
  const height = Math.ceil(Math.max(...ys)) + 2 - top;
  const share = new Float32Array(width * height);
  for (let i = 0; i < share.length; i++) {
    let inside = 0;
    for (let k = 0; k < FINE * FINE; k++) {
      const x = left + (i % width) + ((k % FINE) + 0.5) / FINE - 0.5;
      const y = top + Math.floor(i / width) + (Math.floor(k / FINE) + 0.5) / FINE - 0.5;
      if (within(at, x, y)) inside++;
    }
    share[i] = inside / FINE / FINE;
  }
  return { left, top, width, share };
}

/** Even-odd rule. */
function within(shape: readonly Spot[], x: number, y: number): boolean {
  let odd = false;
  shape.forEach(([x1, y1], i) => {
    const [x2, y2] = shape[(i + 1) % shape.length]!;
    if (y1 > y !== y2 > y && x < x1 + ((y - y1) * (x2 - x1)) / (y2 - y1)) odd = !odd;
  });
  return odd;
}

const box = (half: { right: number; up: number }): Spot[] => [
  ...[[-half.right, half.up] as const, [half.right, half.up] as const],
  ...[[half.right, -half.up] as const, [-half.right, -half.up] as const],
];

/** Linear light. */
type Colour = readonly [red: number, green: number, blue: number];
const RED: Colour = [1, 0.045, 0.012];
const UNLIT = 0.012;

export class ClockPainter {
  /** Without what is lit, as light and as seen. */
  private readonly still: Float32Array;
  private readonly stillSeen: Buffer;
  private readonly bars: readonly ReadonlyMap<Bar, Cover>[];
  private readonly point: Cover;

  constructor(private readonly spec: ClockSpec) {
    const { camera } = spec;
    this.bars = PLACES.map(
      (middle) => new Map(BARS.map((name) => [name, cover(camera, barOf(name, middle))] as const)),
    );
    this.point = cover(camera, pointShape());
    this.still = wall(spec.name, camera);
    this.lay(this.still, cover(camera, box(HOUSING)), [0.035, 0.038, 0.045]);
    this.lay(this.still, cover(camera, box(FACE)), [0.004, 0.004, 0.005]);
    const legs = ([-0.2, 0.2] as const).map((x): Spot[] => [
      ...[[x - 0.012, -HOUSING.up] as const, [x + 0.012, -HOUSING.up] as const],
      ...[[x + 0.012, -0.7] as const, [x - 0.012, -0.7] as const],
    ]);
    for (const leg of legs) this.lay(this.still, cover(camera, leg), [0.03, 0.03, 0.032]);
    this.stillSeen = Buffer.alloc(4 * camera.width * camera.height, 255);
    for (let i = 0; i < this.still.length; i++) see(this.stillSeen, this.still, i);
  }

  /** RGBA rows of the frame at a time from the moment it stops. */
  paint(t: number): Buffer {
    const { width } = this.spec.camera;
    const light = this.still.slice();
    const lit = this.litShares(t);
    this.bars.forEach((bars, k) => {
      for (const [name, where] of bars) {
        const share = UNLIT + (1 - UNLIT) * lit[k]!.get(name)!;
        this.lay(light, where, RED.map((c) => c * share) as unknown as Colour);
      }
    });
    this.lay(light, this.point, RED);
    const picture = Buffer.from(this.stillSeen);
    for (const where of [...this.bars.flatMap((bars) => [...bars.values()]), this.point]) {
      where.share.forEach((share, i) => {
        if (share === 0) return;
        const first =
          3 * ((where.top + Math.floor(i / where.width)) * width + where.left + (i % where.width));
        for (let c = 0; c < 3; c++) see(picture, light, first + c);
      });
    }
    return picture;
  }

  /** The share of the exposure in which each bar is lit. */
  private litShares(t: number): readonly ReadonlyMap<Bar, number>[] {
    const looks = Array.from({ length: 32 }, (_, i) =>
      shownAt(this.spec, t + this.spec.shutter * ((i + 0.5) / 32 - 0.5)),
    );
    return [100, 10, 1].map((unit) => {
      const figures = looks.map((n) => LIT[Math.floor(n / unit) % 10]!);
      return new Map(
        BARS.map(
          (name) => [name, figures.filter((lit) => lit.includes(name)).length / looks.length] as const,
        ),
      );
    });
  }

  private lay(light: Float32Array, where: Cover, colour: Colour): void {
    const { width, height } = this.spec.camera;
    where.share.forEach((share, i) => {
      const [x, y] = [where.left + (i % where.width), where.top + Math.floor(i / where.width)];
      if (share === 0 || x < 0 || y < 0 || x >= width || y >= height) return;
      for (let c = 0; c < 3; c++) {
        const at = 3 * (y * width + x) + c;
        light[at] = light[at]! * (1 - share) + share * colour[c]!;
      }
    });
  }
}

/** The boards behind, a little lighter above, with a still grain against banding. */
function wall(name: string, { width, height }: Camera): Float32Array {
  const grain = seeded(`grain of ${name}`);
  const light = new Float32Array(3 * width * height);
  for (let i = 0; i < width * height; i++) {
    const y = Math.floor(i / width) / height;
    const base = (y > 0.86 ? 0.42 : 0.3) * (1.1 - 0.35 * y) + 0.004 * (grain.next() - 0.5);
    light.set([base * (y > 0.86 ? 1 : 0.92), base * 0.98, base], 3 * i);
  }
  return light;
}

/** One colour of one pixel: sRGB's own curve. */
function see(picture: Buffer, light: Float32Array, i: number): void {
  const c = Math.min(1, Math.max(0, light[i]!));
  const s = c <= 0.0031308 ? c * 12.92 : 1.055 * c ** (1 / 2.4) - 0.055;
  picture[4 * Math.floor(i / 3) + (i % 3)] = Math.round(255 * s);
}
