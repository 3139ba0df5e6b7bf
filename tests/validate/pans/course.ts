import { type Filmer, filmer, minus, size, type Vec } from "../lens.ts";
import { MIDDLE } from "../placements.ts";
import type { Dice } from "../random.ts";

/** How somebody pans after a skater. */
export interface Pan {
  readonly from: Vec;
  readonly hfovDeg: number;
  readonly width: number;
  readonly height: number;
  readonly fps: number;
  /** SD of the hand about the skater, m each way at the skater; it wanders within about a third of a second. */
  readonly handM: number;
  /** Of the picture, px each way from frame to frame, as stabilisation makes it. */
  readonly jitterPx: number;
  /** The skater is kept about the same size. */
  readonly zooms: boolean;
  /** Seconds from the first row of a frame to its last. */
  readonly readoutS: number;
  readonly k1: number;
  readonly k2?: number;
  /** See `Filmer`. */
  readonly angles?: number;
}

/** A camera that pans, at any time of the clip, s. */
export interface Course {
  readonly pan: Pan;
  /** As it looked at one instant, its shutter as quick as none has it. */
  instant(seconds: number): Filmer;
  /** As a frame sees: the middle row at the frame's time, the others before and after it. */
  frame(frame: number): Filmer;
}

/** @param aim what is followed, by the clip's time */
export function panCourse(d: Dice, pan: Pan, aim: (seconds: number) => Vec, frames: number): Course {
  const seconds = frames / pan.fps;
  const hand = [wander(d, pan.handM, seconds), wander(d, pan.handM / 2, seconds)] as const;
  // A hand's roll, rad.
  const roll = wander(d, 0.003, seconds);
  const jitter = [0, 1].map(() => Array.from({ length: frames + 2 }, () => d.normal(pan.jitterPx)));
  const usual = size(minus([MIDDLE, 0, 0.6], pan.from));
  const focal = pan.width / 2 / Math.tan((pan.hfovDeg * Math.PI) / 360);
  const instant = (t: number): Filmer => {
    const at = aim(t);
    const seen: Vec = [at[0] + hand[0](t), at[1], at[2] + hand[1](t)];
    const far = pan.zooms ? (size(minus(at, pan.from)) / usual) ** 0.7 : 1;
    const hfovDeg = (360 / Math.PI) * Math.atan(pan.width / 2 / (focal * far));
    const { width, height, k1, k2 = 0, angles } = pan;
    return filmer(pan.from, seen, hfovDeg, { width, height, k1, k2, angles, roll: 0.01 + roll(t) });
  };
  const known = new Map<number, Filmer>();
  const frame = (n: number): Filmer => {
    const before = known.get(n);
    if (before) return before;
    const shift = [jitter[0]![n] ?? 0, jitter[1]![n] ?? 0] as const;
    const row = (y: number) => instant(n / pan.fps + pan.readoutS * ((y + 0.5) / pan.height - 0.5));
    const made: Filmer = {
      ...instant(n / pan.fps),
      shift,
      ...(pan.readoutS > 0 && { row }),
    };
    known.set(n, made);
    return made;
  };
  return { pan, instant, frame };
}

/** A course about 0 with this SD that wanders within a third of a second: sums of sines of drawn rates and phases. */
function wander(d: Dice, sd: number, seconds: number): (t: number) => number {
  const waves = Array.from({ length: 12 }, (_, k) => ({
    rate: d.even(0.2, 1) + (k % 4) * 0.6,
    phase: d.even(0, 2 * Math.PI),
  }));
  const each = sd * Math.sqrt(2 / waves.length);
  void seconds;
  return (t) => each * waves.reduce((sum, w) => sum + Math.sin(2 * Math.PI * w.rate * t + w.phase), 0);
}
