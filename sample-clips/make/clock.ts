/** The timing display as a third camera sees it: seven-segment figures of our own drawing that run, then stop. */
import { type Camera, project } from "./camera.ts";
import { rounded } from "./vec.ts";

export interface ClockSpec {
  readonly name: string;
  /** Whose time it shows. */
  readonly trial: string;
  readonly skater: string;
  readonly technique: string;
  readonly repeat: number;
  /** What it shows once stopped, seconds. */
  readonly stopped: number;
  readonly camera: Camera;
  readonly fps: number;
  /** Seconds open, centred on the frame's time. */
  readonly shutter: number;
  /** Seconds filmed before and after it stops. */
  readonly before: number;
  readonly after: number;
}

/** Bars of a figure: a at the top, then clockwise b to f, g in the middle. */
export type Bar = "a" | "b" | "c" | "d" | "e" | "f" | "g";
export const LIT: readonly string[] = [
  ...["abcdef", "bc", "abdeg", "abcdg", "bcfg"],
  ...["acdfg", "acdefg", "abc", "abcdefg", "abcdfg"],
];

/** Metres on the display's face, from its middle: to the right and up. */
export type Spot = readonly [right: number, up: number];

const [WIDE, TALL, THICK] = [0.09, 0.17, 0.022];
/** A millimetre between bars. */
const GAP = 0.001;
/** How much the figures lean to the right. */
const LEAN = 0.12;
/** Middles of the figures: seconds, tenths, hundredths; the point stands after the first. */
export const PLACES = [-0.155, 0.005, 0.145] as const;
const POINT: Spot = [-0.077, -TALL / 2];
const POINT_RADIUS = 0.013;
export const HOUSING = { right: 0.31, up: 0.17 } as const;
export const FACE = { right: 0.285, up: 0.145 } as const;

const leaning = ([right, up]: Spot): Spot => [right + LEAN * up, up];

/** A bar with pointed ends between two corners of the figure. */
function bar([x1, y1]: Spot, [x2, y2]: Spot, middle: number): Spot[] {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const h = THICK / 2;
  const at = (along: number, aside: number): Spot =>
    leaning([middle + x1 + ux * along - uy * aside, y1 + uy * along + ux * aside]);
  return [
    ...[at(GAP, 0), at(GAP + h, h), at(length - GAP - h, h)],
    ...[at(length - GAP, 0), at(length - GAP - h, -h), at(GAP + h, -h)],
  ];
}

/** A bar of the figure whose middle is so far to the right. */
export function barOf(name: Bar, middle: number): Spot[] {
  const [r, t] = [WIDE / 2, TALL / 2];
  const ends: Readonly<Record<Bar, readonly [Spot, Spot]>> = {
    a: [
      [-r, t],
      [r, t],
    ],
    b: [
      [r, t],
      [r, 0],
    ],
    c: [
      [r, 0],
      [r, -t],
    ],
    d: [
      [r, -t],
      [-r, -t],
    ],
    e: [
      [-r, -t],
      [-r, 0],
    ],
    f: [
      [-r, 0],
      [-r, t],
    ],
    g: [
      [-r, 0],
      [r, 0],
    ],
  };
  return bar(...ends[name], middle);
}

/** The point between seconds and tenths. */
export function pointShape(): Spot[] {
  const [right, up] = leaning(POINT);
  return Array.from({ length: 20 }, (_, i): Spot => {
    const turn = (i / 20) * 2 * Math.PI;
    return [right + POINT_RADIUS * Math.cos(turn), up + POINT_RADIUS * Math.sin(turn)];
  });
}

/** The display's face looks along -y of its own frame; the camera stands before it. */
export const seenAt = (camera: Camera, [right, up]: Spot): Spot => {
  const { x, y } = project(camera, [right, 0, up]);
  return [x, y];
};

export const BARS = ["a", "b", "c", "d", "e", "f", "g"] as const;

/** Frames' times from the moment it stops, seconds, negative before. */
export function clockTimes(spec: ClockSpec): number[] {
  const count = Math.floor((spec.before + spec.after) * spec.fps);
  // Its clock is not the display's: the first frame falls where it falls.
  return Array.from({ length: count }, (_, n) => -spec.before + (n + 0.29) / spec.fps);
}

/** Hundredths shown at a time from the moment it stops. */
export const shownAt = (spec: ClockSpec, t: number): number =>
  Math.floor(Math.round(1e7 * (spec.stopped + Math.min(0, t))) / 1e5);

/** The first frame whose whole exposure shows the stopped time. */
export const firstStill = (spec: ClockSpec): number =>
  clockTimes(spec).findIndex((t) => shownAt(spec, t - spec.shutter / 2) === Math.round(100 * spec.stopped));

/** The truth beside the clip. */
export function clockTruth(spec: ClockSpec): Record<string, unknown> {
  const figures = [Math.round(100 * spec.stopped)].flatMap((n) =>
    [n / 100, n / 10, n].map((x) => Math.floor(x) % 10),
  );
  const px = (spot: Spot) => seenAt(spec.camera, spot).map((x) => rounded(x, 3));
  return {
    format: "blademark.clock-truth",
    version: 1,
    clip: `${spec.name}.mp4`,
    shows: { skater: spec.skater, technique: spec.technique, repeat: spec.repeat },
    frames: clockTimes(spec).length,
    fps_true: spec.fps,
    picture: [spec.camera.width, spec.camera.height],
    stopped_s: spec.stopped,
    first_still_frame: firstStill(spec),
    figures: PLACES.map((middle, k) => ({
      shows: figures[k],
      bar_middles_px: Object.fromEntries(BARS.map((name) => [name, px(centre(barOf(name, middle)))])),
    })),
  };
}

const centre = (shape: readonly Spot[]): Spot => [
  shape.reduce((sum, p) => sum + p[0], 0) / shape.length,
  shape.reduce((sum, p) => sum + p[1], 0) / shape.length,
];
