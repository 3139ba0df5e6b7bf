import type { Side } from "../../src/study/types.ts";

export interface Point3 {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/*
 * There are two forward models, and they must be two. This one, with `pinhole.ts` and `filmedTrial.ts`, is the skater one can work
 * out by hand: sines and straight lines, every number given by the test, no chance but the marks' noise. So a test can ask for
 * a millimetre, turn the lane, mirror the picture or move one mark and know what must come of it, and a bug in the other
 * one shows here. The validation's (tests/validate/skater.ts) is unlike what the core believes on purpose, is drawn, and
 * has its own camera, tables and definitions: it says how often intervals hold, not what a law asks. Neither imports the other.
 */

/** A skater whose every point is known at every time: plain smooth curves, written for the tests alone. */
export interface SimulatedSkater {
  readonly offs: readonly {
    readonly side: Side;
    readonly time: number;
    readonly onTime: number;
    readonly nearestTime: number;
  }[];
  blade(side: Side, time: number): Point3;
  heel(side: Side, time: number): Point3;
  toe(side: Side, time: number): Point3;
  hip(side: Side, time: number): Point3;
  midHip(time: number): Point3;
  readonly heading: number;
}

export interface SkaterShape {
  readonly strides: number;
  /** Real seconds between successive blade-offs. */
  readonly period: number;
  readonly speed: number;
  readonly startX: number;
  readonly startY: number;
  /** Radians from the lane. */
  readonly heading: number;
  /** Outward distance from the body's own line at blade-off and at blade-on, metres. */
  readonly wide: number;
  readonly landing: number;
  /** Outward speed at blade-off and at blade-on, m/s. */
  readonly offSpeed: number;
  readonly onSpeed: number;
  readonly hipHeight: number;
  readonly recovery: number;
  /** Stride-to-stride differences, metres; a function of the stride's number. */
  readonly vary: (n: number) => number;
  /** Sway of the hips, metres. */
  readonly sway: number;
  /** Height of a blade just before it leaves and just after it meets the ice, metres: it is never quite flat. */
  readonly skim: number;
  /** Amplitude of a wave of 36 m in the line of travel, metres. */
  readonly weave?: number;
  /** Metres travelled by a time, instead of a steady speed. */
  readonly travelled?: (time: number) => number;
}

export const ORDINARY: SkaterShape = {
  strides: 7,
  period: 0.33,
  speed: 8,
  startX: 12.2,
  startY: 0.05,
  heading: 0.01,
  wide: 0.6,
  landing: 0.08,
  offSpeed: 1.0,
  onSpeed: 0.8,
  hipHeight: 0.8,
  recovery: 0.27,
  vary: () => 0,
  sway: 0.04,
  skim: 0,
};

/** How long a blade skims before it leaves and after it comes down, seconds. */
const SKIMMING = 0.03;

/** Cubic through (0, a) and (d, b) with slopes sa and sb. */
function hermite(t: number, d: number, a: number, b: number, sa: number, sb: number): number {
  const s = t / d;
  const s2 = s * s;
  const s3 = s2 * s;
  return a * (2 * s3 - 3 * s2 + 1) + b * (-2 * s3 + 3 * s2) + d * sa * (s3 - 2 * s2 + s) + d * sb * (s3 - s2);
}

export function simulateSkater(shape: SkaterShape): SimulatedSkater {
  const { period, recovery, speed, heading } = shape;
  const contact = 2 * period - recovery;
  const travelled = shape.travelled ?? ((time: number) => speed * time);
  const sideOf = (n: number): Side => (n % 2 === 0 ? "left" : "right");
  const sign = (side: Side) => (side === "left" ? 1 : -1);
  const offTime = (n: number) => 0.2 + n * period;
  /** Number of the last blade-off of this side at or before `time`. */
  const lastOffNumber = (side: Side, time: number) => {
    const n = Math.floor((time - 0.2) / period);
    return ((n % 2) + 2) % 2 === (side === "left" ? 0 : 1) ? n : n - 1;
  };
  const lastOff = (side: Side, time: number) => offTime(lastOffNumber(side, time));
  /** Outward, ahead of the hips, height: in the body's own moving frame. */
  const relative = (side: Side, time: number) => {
    const n = lastOffNumber(side, time);
    const since = time - offTime(n);
    const wide = (k: number) => shape.wide + shape.vary(k);
    const landing = (k: number) => shape.landing + shape.vary(k + 1000);
    if (since < recovery) {
      return {
        out: hermite(since, recovery, wide(n), landing(n), shape.offSpeed, shape.onSpeed),
        ahead: hermite(since, recovery, -0.32, 0.12, -0.44 / contact, -0.44 / contact),
        up: 0.05 * Math.sin((Math.PI * since) / recovery),
      };
    }
    const t = since - recovery;
    return {
      out: hermite(t, contact, landing(n), wide(n + 2), shape.onSpeed, shape.offSpeed),
      ahead: 0.12 - (0.44 * t) / contact,
      up: shape.skim * Math.max(0, 1 - t / SKIMMING, 1 - (contact - t) / SKIMMING),
    };
  };
  const turn = (along: number, beside: number, up: number): Point3 => {
    const left = beside + (shape.weave ?? 0) * Math.sin((2 * Math.PI * along) / 36);
    return {
      x: shape.startX + along * Math.cos(heading) - left * Math.sin(heading),
      y: shape.startY + along * Math.sin(heading) + left * Math.cos(heading),
      z: up,
    };
  };
  /** A blade on the ice points where it rolls, an edge does not slip sideways; in the air it turns from one to the other. */
  const toeOut = (side: Side, time: number): number => {
    const from = lastOff(side, time);
    const rolling = (t: number, outSpeed: number) => {
      const pace = (travelled(t + 1e-4) - travelled(t - 1e-4)) / 2e-4;
      return Math.atan2(outSpeed, Math.max(0.1, pace - 0.44 / contact));
    };
    const since = time - from;
    if (since >= recovery) {
      const [a, b] = [relative(side, time - 1e-4), relative(side, time + 1e-4)];
      return rolling(time, since < recovery + 1e-4 ? shape.onSpeed : (b.out - a.out) / 2e-4);
    }
    const share = since / recovery;
    return (1 - share) * rolling(from, shape.offSpeed) + share * rolling(from + recovery, shape.onSpeed);
  };
  const at = (side: Side, time: number, end: number): Point3 => {
    const r = relative(side, time);
    const yaw = toeOut(side, time);
    return turn(
      travelled(time) + r.ahead + end * Math.cos(yaw),
      sign(side) * (r.out + end * Math.sin(yaw)),
      r.up,
    );
  };
  const hips = (side: Side | null, time: number): Point3 => {
    const swayed = shape.sway * Math.sin((Math.PI * (time - 0.2)) / period);
    return turn(travelled(time), swayed + (side ? 0.14 * sign(side) : 0), shape.hipHeight);
  };
  const offs = Array.from({ length: shape.strides }, (_, n) => {
    const side = sideOf(n);
    const time = offTime(n);
    let nearestTime = time;
    for (let k = 0; k <= 1000; k++) {
      const t = time + (recovery * k) / 1000;
      if (relative(side, t).out < relative(side, nearestTime).out) nearestTime = t;
    }
    return { side, time, onTime: time + recovery, nearestTime };
  });
  return {
    offs,
    heading,
    blade: (side, time) => at(side, time, 0),
    heel: (side, time) => at(side, time, -0.14),
    toe: (side, time) => at(side, time, 0.14),
    hip: hips,
    midHip: (time) => hips(null, time),
  };
}
