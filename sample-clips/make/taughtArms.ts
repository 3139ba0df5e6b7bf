/** Arms as somebody was asked to swing them: each swing a little other than the last, and left not quite as right. */
import type { ArmExtreme, ArmPlace, Arms } from "./arms.ts";
import type { RunSpec } from "./people.ts";
import { STILL } from "./progress.ts";
import { seeded } from "./random.ts";
import type { Push, Sign } from "./schedule.ts";
import { ease, mix, unit, type V } from "./vec.ts";

export interface ArmHabit {
  /** From shoulder to wrist at the extremes: ahead, outward, up; of any length. */
  readonly front: V;
  readonly back: V;
  /** Angle between upper arm and forearm at the extremes, and how much wider it is half-way; degrees. */
  readonly bendFrontDeg: number;
  readonly bendBackDeg: number;
  readonly openDeg: number;
  readonly pole: V;
  readonly shoulderTurn: number;
  /** The left arm swings this much more across than the right one, degrees. */
  readonly leftMoreAcrossDeg: number;
  /** The front extreme follows the arm's own blade-off by this, seconds; the right arm is later by `rightLate`. */
  readonly lag: number;
  readonly rightLate: number;
}

/** From swing to swing, SD: when, seconds; which way and how high, radians; the elbow, degrees. */
const SCATTER = { time: 0.011, turn: 0.06, lift: 0.05, bendDeg: 4 };
/** Hanging down at the start. */
const REST: ArmPlace = { direction: unit([0.25, 0.16, -0.95]), bend: 2.4, pole: [-0.75, 0.5, -0.15] };

interface Extreme extends ArmExtreme {
  readonly place: ArmPlace;
}

/** Seen from above, turned by `turn` towards the other side in front, away from the body behind; then lifted. */
function moved([ahead, outward, up]: V, turn: number, lift: number): V {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const [forward, aside] = [c * ahead + s * outward, c * outward - s * ahead];
  return unit([forward, aside, up + lift]);
}

/** @param spec whose name seeds the scatter */
export function taughtArms(spec: RunSpec, habit: ArmHabit, pushes: readonly Push[]): Arms {
  const random = seeded(`arms of ${spec.name}`);
  const vary = (sd: number) => sd * Math.max(-2, Math.min(2, random.normal()));
  const extreme = (push: Push, sign: Sign): Extreme => {
    const front = sign === push.sign;
    const across = (sign * habit.leftMoreAcrossDeg * Math.PI) / 360;
    const bendDeg = (front ? habit.bendFrontDeg : habit.bendBackDeg) + vary(SCATTER.bendDeg);
    return {
      sign,
      event: front ? "arm_front" : "arm_back",
      time: push.off + habit.lag + (sign < 0 ? habit.rightLate : 0) + vary(SCATTER.time),
      place: {
        direction: moved(front ? habit.front : habit.back, across + vary(SCATTER.turn), vary(SCATTER.lift)),
        bend: (bendDeg * Math.PI) / 180,
        pole: habit.pole,
      },
    };
  };
  const of = (sign: Sign) => pushes.map((p) => extreme(p, sign));
  const own: Readonly<Record<Sign, readonly Extreme[]>> = { 1: of(1), [-1]: of(-1) };
  const at = (sign: Sign, t: number): ArmPlace => {
    const list = own[sign];
    const i = list.findLastIndex((e) => e.time <= t);
    const from = i < 0 ? { time: STILL, place: REST } : list[i]!;
    const to = list[i + 1] ?? list[i]!;
    const share = to.time > from.time ? Math.min(1, Math.max(0, (t - from.time) / (to.time - from.time))) : 1;
    const k = ease(0, 1, share);
    const open = i < 0 ? 0 : (habit.openDeg * Math.PI) / 180;
    return {
      direction: unit(mix(from.place.direction, to.place.direction, k)),
      bend: from.place.bend + (to.place.bend - from.place.bend) * k + open * (4 * k * (1 - k)) ** 2,
      pole: to.place.pole,
    };
  };
  const extremes = pushes.flatMap((_, i) => [own[1][i]!, own[-1][i]!]).slice(2, -2);
  return { shoulderTurn: habit.shoulderTurn, extremes, at };
}
