import type { Side } from "../../src/study/types.ts";
import type { Point3, SimulatedSkater } from "./skater.ts";

/** Each quantity from its definition in words (docs/definitions.md), written for the tests alone, at chosen times. */
export interface StrideTimes {
  readonly side: Side;
  /** Time at which the stride's blade-off, nearest and blade-on are looked at. */
  readonly off: number;
  readonly nearest: number;
  readonly on: number;
}

const outward = (side: Side) => (side === "left" ? 1 : -1);
const otherBlade = (side: Side): Side => (side === "left" ? "right" : "left");
const between = (a: Point3, b: Point3): Point3 => ({
  x: (a.x + b.x) / 2,
  y: (a.y + b.y) / 2,
  z: (a.z + b.z) / 2,
});

/** Middle of heel and toe. */
function blade(skater: SimulatedSkater, side: Side, time: number): Point3 {
  return between(skater.heel(side, time), skater.toe(side, time));
}

/** Unit vector to the left of the way from a to b. */
function leftward(a: Point3, b: Point3) {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  return { x: -(b.y - a.y) / length, y: (b.x - a.x) / length };
}

function apart(p: Point3, q: Point3, axis: { readonly x: number; readonly y: number }) {
  return (p.x - q.x) * axis.x + (p.y - q.y) * axis.y;
}

export function byDefinition(skater: SimulatedSkater, strides: readonly StrideTimes[], k: number) {
  const at = strides[k]!;
  const off = (m: number) => blade(skater, strides[m]!.side, strides[m]!.off);
  const axis = leftward(off(k - 1), off(k + 1));
  const sign = outward(at.side);
  const own = off(k);
  const on = blade(skater, at.side, at.on);
  return {
    stride_width_m: sign * apart(own, off(k - 1), axis),
    blade_separation_m: sign * apart(own, blade(skater, otherBlade(at.side), at.off), axis),
    half_width_m: sign * apart(own, skater.midHip(at.off), axis),
    recovery_to_midline_m: sign * apart(blade(skater, at.side, at.nearest), skater.midHip(at.nearest), axis),
    touchdown_to_midline_m: sign * apart(on, skater.midHip(at.on), axis),
    touchdown_to_track_midline_m: sign * apart(on, between(own, off(k + 1)), axis),
    stride_length_m: (own.x - off(k - 1).x) * axis.y - (own.y - off(k - 1).y) * axis.x,
    stride_rate_hz: 1 / (at.off - strides[k - 1]!.off),
    recovery_time_s: at.on - at.off,
  };
}
