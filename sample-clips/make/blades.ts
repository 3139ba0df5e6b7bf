/** Where both blades are at any time: gliding along themselves on the ice, or on their way through the air. */
import type { Progress } from "./progress.ts";
import { STILL } from "./progress.ts";
import type { Push, Sign } from "./schedule.ts";
import { ease, hermite, type V } from "./vec.ts";

const RUNNER = 0.28;

/** Both ends of the runner's lower edge; `onIce` is the blade's state, the ends' own heights say the rest. */
export interface BladePose {
  readonly heel: V;
  readonly toe: V;
  readonly onIce: boolean;
}

/** The line of travel: nearly along the lane, not quite, and not quite straight. */
export interface Track {
  y(x: number): number;
}

/** Share of a recovery after which the blade is nearest the line of travel. */
const NEAREST = 0.66;
/** Highest pitch of the runner in the air, radians. */
const AIR_PITCH = 0.36;
/** While standing, each blade's heading outward, and the place of the front and rear one ahead of mid-hip. */
const STANCE = { heading: 0.5, front: 0.3, rear: -0.3 } as const;

interface Plane {
  readonly x: number;
  readonly y: number;
}

export interface Blades {
  at(sign: Sign, t: number): BladePose;
}

/** @param moving when each push moves over the ice, where that is not exactly with its contact */
export function makeBlades(
  pushes: readonly Push[],
  progress: Progress,
  track: Track,
  moving: readonly Push[] = pushes,
): Blades {
  const sidesOf = (all: readonly Push[]): Record<Sign, readonly Push[]> => ({
    1: all.filter((p) => p.sign === 1),
    [-1]: all.filter((p) => p.sign === -1),
  });
  const [touching, over] = [sidesOf(pushes), sidesOf(moving)];

  const place = (sign: Sign, ahead: number, out: number, t: number): Plane => {
    const x = progress.x(t) + ahead;
    return { x, y: track.y(x) + sign * out };
  };

  const gliding = (p: Push, t: number): Plane => {
    if (p.index < 2) {
      const stance = p.index === 0 ? STANCE.rear : STANCE.front;
      const x0 = progress.x(0) + stance;
      const end = progress.x(p.off) + p.aheadOff;
      const speedOff = progress.speed(p.off) + p.slipOff;
      const moving = Math.max(0, t - STILL);
      const x = hermite(x0, 0, end, Math.max(0.3, speedOff), p.off - STILL, moving);
      return { x, y: track.y(x) + p.sign * hermite(p.outOn, 0, p.outOff, p.speedOff, p.off - STILL, moving) };
    }
    const out = hermite(p.outOn, p.speedOn, p.outOff, p.speedOff, p.off - p.on, t - p.on);
    const ahead = hermite(p.aheadOn, p.slipOn, p.aheadOff, p.slipOff, p.off - p.on, t - p.on);
    return place(p.sign, ahead, out, t);
  };

  const flying = (p: Push, next: Push, t: number): Plane => {
    const duration = next.on - p.off;
    const nearest = p.off + NEAREST * duration;
    const out =
      t < nearest
        ? hermite(p.outOff, p.speedOff, p.outNearest, 0, nearest - p.off, t - p.off)
        : hermite(p.outNearest, 0, next.outOn, next.speedOn, next.on - nearest, t - nearest);
    const slipFrom =
      p.index < 2 ? Math.max(0.3, progress.speed(p.off) + p.slipOff) - progress.speed(p.off) : p.slipOff;
    const ahead = hermite(p.aheadOff, slipFrom, next.aheadOn, next.slipOn, duration, t - p.off);
    return place(p.sign, ahead, out, t);
  };

  /** Outward heading on the ice: along the blade's own path, turned a little more as the push ends. */
  const glideHeading = (p: Push, t: number): number => {
    const h = 1e-4;
    const from = p.index < 2 ? STILL : p.on;
    const middle = Math.min(p.off - h, Math.max(from + h, t));
    const [a, b] = [gliding(p, middle - h), gliding(p, middle + h)];
    const along = Math.atan2(p.sign * (b.y - a.y), b.x - a.x);
    const share = (t - from) / (p.off - from);
    if (p.index < 2) return STANCE.heading + (Math.min(0.9, along) - STANCE.heading) * ease(0.1, 0.9, share);
    return Math.min(0.95, along) + 0.08 * ease(0.5, 1, share);
  };

  const pushAt = (own: readonly Push[], t: number): { p: Push; next: Push | undefined } => {
    const i = own.findLastIndex((p) => p.on <= t);
    const p = own[i];
    if (!p) throw new Error("every blade begins on the ice");
    return { p, next: own[i + 1] };
  };

  /** Over the ice: where the runner's middle is, and its outward heading. */
  const motionAt = (sign: Sign, t: number): { at: Plane; heading: number } => {
    const { p, next } = pushAt(over[sign], t);
    if (t <= p.off || !next) return { at: gliding(p, t), heading: glideHeading(p, t) };
    const u = (t - p.off) / (next.on - p.off);
    const [headingOff, headingOn] = [glideHeading(p, p.off), glideHeading(next, next.on)];
    return {
      at: flying(p, next, t),
      heading: headingOff + (headingOn - headingOff) * ease(0, 0.8, u),
    };
  };

  /** Above the ice: the toe's height and the runner's pitch. */
  const liftAt = (sign: Sign, t: number): { toeZ: number; pitch: number; onIce: boolean } => {
    const { p, next } = pushAt(touching[sign], t);
    if (t <= p.off || !next) {
      const share = ease(p.off - 0.05, p.off, t);
      return { toeZ: 0, pitch: Math.asin((p.heelLift * share) / RUNNER), onIce: true };
    }
    const u = (t - p.off) / (next.on - p.off);
    const toeZ = p.toeLift * 16 * u * u * (1 - u) * (1 - u);
    const pitchOff = Math.asin(p.heelLift / RUNNER);
    const pitch = pitchOff * (1 - u) ** 2 * (1 + 2 * u) + (AIR_PITCH * u * u * (1 - u) ** 3) / 0.03456;
    return { toeZ, pitch, onIce: false };
  };

  const at = (sign: Sign, t: number): BladePose => {
    const { at: place, heading } = motionAt(sign, t);
    const { toeZ, pitch, onIce } = liftAt(sign, t);
    const half = (RUNNER / 2) * Math.cos(pitch);
    const dx = half * Math.cos(heading);
    const dy = half * Math.sin(heading) * sign;
    return {
      heel: [place.x - dx, place.y - dy, toeZ + RUNNER * Math.sin(pitch)],
      toe: [place.x + dx, place.y + dy, toeZ],
      onIce,
    };
  };

  return { at };
}
