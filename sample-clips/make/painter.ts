/** Puts the skater into the hall's picture, frame by frame: shade and mirrored legs on the ice, then the figure. */
import type { Pose } from "./body.ts";
import { type Camera, focalPx, project, rotation } from "./camera.ts";
import { Figure } from "./figure.ts";
import type { ClipSpec } from "./people.ts";
import { type Box, Raster } from "./raster.ts";
import type { Run } from "./run.ts";
import { add, mid, mul, type V } from "./vec.ts";

/** Pictures averaged over one opening of the shutter; each also looks from another place within the pixel. */
const OPENINGS = 8;
const jitter = (openings: number) =>
  Array.from({ length: openings }, (_, i) => [reversed(i + 1, 2) - 0.5, reversed(i + 1, 3) - 0.5]);
/** Share of the mirrored figure's light that the sheen of the ice gives back, and the height it loses most of it in. */
const SHEEN = 0.3;
const SHEEN_HEIGHT = 0.25;
/** What little light is left in full shade, linear. */
const SHADE_LIGHT: V = [0.003, 0.01, 0.023];

/** The van der Corput sequence: evenly spread shares, the same on every machine. */
function reversed(n: number, base: number): number {
  let [value, share] = [0, 1 / base];
  for (let k = n; k > 0; k = Math.floor(k / base), share /= base) value += (k % base) * share;
  return value;
}

const LINEAR = Float32Array.from({ length: 256 }, (_, i) => {
  const s = i / 255;
  return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
});

function srgb(linear: number): number {
  const c = Math.min(1, Math.max(0, linear));
  return Math.round(255 * (c <= 0.0031308 ? c * 12.92 : 1.055 * c ** (1 / 2.4) - 0.055));
}

export class Painter {
  private readonly figure: Figure;
  private readonly body: Raster;
  private readonly mirror: Raster;
  private readonly jitter: readonly (readonly number[])[];

  constructor(
    private readonly clip: ClipSpec,
    private readonly run: Run,
  ) {
    const { width, height } = clip.camera;
    this.jitter = jitter(clip.footage?.openings ?? OPENINGS);
    this.figure = new Figure(clip.run.person);
    this.body = new Raster(width, height);
    this.mirror = new Raster(width, height);
  }

  /** Paints the moment `time` of the run over `picture`, RGBA rows of the empty hall. */
  paint(picture: Uint8Array, time: number): void {
    const { clip, run, figure, body, mirror } = this;
    body.clear();
    mirror.clear();
    const openings = this.jitter.length;
    this.jitter.forEach(([dx, dy], i) => {
      figure.pose(run.poseAt(Math.max(0, time + clip.shutter * ((i + 0.5) / openings - 0.5))));
      body.add(figure.group, clip.camera, dx!, dy!, 1 / openings);
    });
    const pose = run.poseAt(time);
    figure.pose(pose);
    figure.group.scale.z = -1;
    for (const dy of [-0.25, 0.25]) mirror.add(figure.group, clip.camera, 0, dy, 0.5);
    figure.group.scale.z = 1;
    this.lay(picture, pose);
  }

  private lay(picture: Uint8Array, pose: Pose): void {
    const { camera } = this.clip;
    const { sum, width, height } = this.body;
    const blots = blotsUnder(pose);
    const box = around(
      [this.body.touched, this.mirror.touched, ...blots.map((b) => boxOf(b, camera))],
      width,
      height,
    );
    const toIce = iceFinder(camera);
    const row = lowestRow(pose, camera);
    const fade = 1 / (focalPx(camera) * SHEEN_HEIGHT * (1 / distance(camera, pose.midHip)));
    for (let y = box.top; y < box.bottom; y++) {
      const sheen = (SHEEN / 7) * Math.exp(-Math.max(0, y - row) * fade);
      for (let x = box.left; x < box.right; x++) {
        const i = y * width + x;
        const solid = sum[4 * i + 3]!;
        const ice = solid < 1 ? toIce(x, y) : null;
        const dark = ice ? blots.reduce((left, b) => left * (1 - shadeOf(b, ice[0], ice[1])), 1) : 1;
        const glow = solid < 1 ? this.mirrored(x, y, height) : null;
        if (solid === 0 && dark === 1 && (!glow || glow[3] === 0)) continue;
        for (let k = 0; k < 3; k++) {
          let light = LINEAR[picture[4 * i + k]!]!;
          if (glow) light = light * (1 - sheen * glow[3]!) + sheen * glow[k]!;
          light = light * dark + SHADE_LIGHT[k]! * (1 - dark);
          picture[4 * i + k] = srgb(light * (1 - solid) + sum[4 * i + k]!);
        }
      }
    }
  }

  /** Sum of seven rows of the mirrored figure: the ice is rough, and smears it up and down. */
  private mirrored(x: number, y: number, height: number): readonly [number, number, number, number] {
    const { sum, touched, width } = this.mirror;
    if (x < touched.left || x >= touched.right || y < touched.top - 9 || y >= touched.bottom + 9)
      return [0, 0, 0, 0];
    const out: [number, number, number, number] = [0, 0, 0, 0];
    for (let d = -9; d <= 9; d += 3) {
      const at = y + d;
      if (at < 0 || at >= height) continue;
      for (let k = 0; k < 4; k++) out[k]! += sum[4 * (at * width + x) + k]!;
    }
    return out;
  }
}

const distance = (camera: Camera, p: V): number =>
  Math.hypot(p[0] - camera.place[0], p[1] - camera.place[1], p[2] - camera.place[2]);

/** The picture row of the skate nearest the camera. */
function lowestRow(pose: Pose, camera: Camera): number {
  const under = [pose.left, pose.right].flatMap((l) => [l.toe, l.heel].map((p): V => [p[0], p[1], 0]));
  return Math.max(...under.map((p) => project(camera, p).y));
}

/** A round shade on the ice that fades outwards: half axes, turned by `turn`, `dark` at its centre. */
interface Blot {
  readonly x: number;
  readonly y: number;
  readonly rx: number;
  readonly ry: number;
  readonly turn: number;
  readonly dark: number;
}

function blotsUnder(pose: Pose): Blot[] {
  const skates = [pose.left, pose.right].flatMap((limb): Blot[] => {
    const centre = mid(limb.heel, limb.toe);
    const under = mid(limb.knee, limb.ankle);
    const turn = Math.atan2(limb.toe[1] - limb.heel[1], limb.toe[0] - limb.heel[0]);
    const dark = 0.62 * (1 - 0.8 * Math.min(1, centre[2] / 0.25));
    return [
      { x: centre[0], y: centre[1], rx: 0.3, ry: 0.13, turn, dark },
      { x: under[0], y: under[1], rx: 0.5, ry: 0.3, turn, dark: 0.2 },
    ];
  });
  return [{ x: pose.midHip[0] + 0.12, y: pose.midHip[1], rx: 0.72, ry: 0.6, turn: 0, dark: 0.34 }, ...skates];
}

function shadeOf(b: Blot, x: number, y: number): number {
  const [dx, dy] = [x - b.x, y - b.y];
  const u = (dx * Math.cos(b.turn) + dy * Math.sin(b.turn)) / b.rx;
  const v = (dy * Math.cos(b.turn) - dx * Math.sin(b.turn)) / b.ry;
  const r = Math.hypot(u, v);
  return r >= 1 ? 0 : b.dark * (1 - r) ** 2 * (1 + 2 * r);
}

function boxOf(b: Blot, camera: Camera): Box {
  const r = Math.max(b.rx, b.ry);
  const corners = [-r, r].flatMap((dx) => [-r, r].map((dy) => project(camera, [b.x + dx, b.y + dy, 0])));
  return {
    left: Math.floor(Math.min(...corners.map((p) => p.x))),
    top: Math.floor(Math.min(...corners.map((p) => p.y))),
    right: Math.ceil(Math.max(...corners.map((p) => p.x))) + 1,
    bottom: Math.ceil(Math.max(...corners.map((p) => p.y))) + 1,
  };
}

function around(boxes: readonly Box[], width: number, height: number): Box {
  const within = (at: number, most: number) => Math.min(most, Math.max(0, at));
  return {
    left: within(Math.min(...boxes.map((b) => b.left)), width),
    top: within(Math.min(...boxes.map((b) => b.top)), height),
    right: within(Math.max(...boxes.map((b) => b.right)), width),
    bottom: within(Math.max(...boxes.map((b) => b.bottom)) + 9, height),
  };
}

/** From a pixel to the point of the ice seen there; null above the horizon. */
function iceFinder(camera: Camera): (x: number, y: number) => V | null {
  const [right, down, forward] = rotation(camera);
  const f = focalPx(camera);
  const [u0, v0] = [(camera.width - 1) / 2, (camera.height - 1) / 2];
  return (x, y) => {
    const ray = add(forward, add(mul(right, (x - u0) / f), mul(down, (y - v0) / f)));
    return ray[2] >= 0 ? null : add(camera.place, mul(ray, -camera.place[2] / ray[2]));
  };
}
