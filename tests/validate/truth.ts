import type { Vec } from "./lens.ts";
import type { Foot, SimSkater } from "./skater.ts";

/*
 * The quantities by their definitions in words (docs/definitions.md; docs/precision.md 0), of points
 * nobody has to mark. All distances are in the plan view; d counts outward, to the foot's own side.
 */

/** When the definition looks at a push: at the events themselves, or at the frames picked for them. */
export interface Instants {
  readonly foot: Foot;
  readonly off: number;
  readonly on: number;
  readonly nearest: number;
}

type Flat = readonly [x: number, y: number];

const middle = (a: Vec | Flat, b: Vec | Flat): Flat => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
const otherFoot = (foot: Foot): Foot => (foot === "left" ? "right" : "left");

export const bladePoint = (s: SimSkater, foot: Foot, t: number): Flat =>
  middle(s.heel(foot, t), s.toe(foot, t));

/**
 * True values of a stride, from the push before it, its own and the one after. Keys as in the measure document.
 * The first push of a skater who stood has none before it: the travel is then the body's own (NaN where there is no value).
 */
export function trueStride(
  s: SimSkater,
  before: Instants | null,
  own: Instants,
  after: Instants,
): Record<string, number> {
  const [p, b] = [own, after].map((i) => bladePoint(s, i.foot, i.off)) as [Flat, Flat];
  const a: Flat = before ? bladePoint(s, before.foot, before.off) : [Number.NaN, Number.NaN];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const travel: Flat = before ? [(b[0] - a[0]) / length, (b[1] - a[1]) / length] : s.course(own.off);
  /** How far q is from r toward the foot's own side, across the travel; left of the travel for the left foot. */
  const outward = (q: Flat, r: Flat) =>
    (own.foot === "left" ? 1 : -1) * (travel[0] * (q[1] - r[1]) - travel[1] * (q[0] - r[0]));
  const hips = (t: number): Flat => middle(s.midHip(t), s.midHip(t));
  const landing = bladePoint(s, own.foot, own.on);
  return {
    blade_off_s: own.off,
    blade_on_s: own.on,
    stride_width_m: outward(p, a),
    blade_separation_m: outward(p, bladePoint(s, otherFoot(own.foot), own.off)),
    half_width_m: outward(p, hips(own.off)),
    recovery_to_midline_m: outward(bladePoint(s, own.foot, own.nearest), hips(own.nearest)),
    touchdown_to_midline_m: outward(landing, hips(own.on)),
    touchdown_to_track_midline_m: outward(landing, middle(p, b)),
    stride_rate_hz: 1 / (own.off - (before?.off ?? Number.NaN)),
    stride_length_m: travel[0] * (p[0] - a[0]) + travel[1] * (p[1] - a[1]),
    recovery_time_s: own.on - own.off,
  };
}

/** Direction (0 along the travel, 90 across) and angle of an arm's swing between two instants, degrees. */
export function trueSwing(
  s: SimSkater,
  side: Foot,
  times: readonly [front: number, back: number],
  travelFrom: Flat,
  travelTo: Flat,
): { direction: number; azimuth: number; angle: number } {
  const reach = times.map((t) => {
    const [shoulder, wrist] = [s.shoulder(side, t), s.wrist(side, t)];
    return [wrist[0] - shoulder[0], wrist[1] - shoulder[1], wrist[2] - shoulder[2]] as const;
  });
  const [f, b] = reach as [Vec, Vec];
  const wristTravel = Math.atan2(f[1] - b[1], f[0] - b[0]);
  const heading = Math.atan2(travelTo[1] - travelFrom[1], travelTo[0] - travelFrom[0]);
  const azimuth = ((wristTravel - heading) * 180) / Math.PI;
  const off = Math.abs(Math.sin(wristTravel - heading));
  const cosine = (f[0] * b[0] + f[1] * b[1] + f[2] * b[2]) / (Math.hypot(...f) * Math.hypot(...b));
  return {
    azimuth,
    direction: (Math.asin(Math.min(1, off)) * 180) / Math.PI,
    angle: (Math.acos(cosine) * 180) / Math.PI,
  };
}
