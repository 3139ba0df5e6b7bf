/** Joints of the whole figure at one moment, from the blades up. Proportions: Drillis & Contini (1966), of stature. */
import type { ArmPlace } from "./arms.ts";
import type { BladePose } from "./blades.ts";
import type { Person } from "./people.ts";
import type { Sign } from "./schedule.ts";
import { across, add, cross, ease, length, mid, mix, mul, sub, unit, type V } from "./vec.ts";

const UPPER_ARM = 0.186;
const FOREARM = 0.146;
const THIGH = 0.245;
const SHANK = 0.246;
const TRUNK = 0.288;
/** Half the distances between the joints; the shoulder's is half of 0.227, a true biacromial breadth. */
const HALF_SHOULDERS = 0.1135;
const HALF_HIPS = 0.06;

export interface Limb {
  readonly hip: V;
  readonly knee: V;
  readonly ankle: V;
  readonly heel: V;
  readonly toe: V;
  /** Up out of the boot, at right angles to the runner. */
  readonly up: V;
  readonly onIce: boolean;
  readonly shoulder: V;
  readonly elbow: V;
  readonly wrist: V;
}

export interface Pose {
  readonly left: Limb;
  readonly right: Limb;
  readonly midHip: V;
  readonly midShoulder: V;
  /** Breaks the photocell's beam. */
  readonly chest: V;
  readonly head: V;
  /** Where the trunk and the face point. */
  readonly facing: V;
}

export interface Moment {
  readonly person: Person;
  readonly arms: Readonly<Record<Sign, ArmPlace>>;
  /** How far the shoulders turn against the pelvis at a blade-off, radians. */
  readonly shoulderTurn: number;
  /** Mid-hip on the ground plan, and the direction of travel, radians. */
  readonly x: number;
  readonly y: number;
  readonly heading: number;
  /** +1 at a left blade-off, -1 at a right one, in between at a given lag (share of a half turn). */
  readonly swing: (lag: number) => number;
  /** 0 standing, 1 sprinting. */
  readonly effort: number;
  readonly blades: Readonly<Record<Sign, BladePose>>;
}

/** The joint between two bones that reach from `from` to `to`, bending towards `pole`. */
function joint(from: V, to: V, first: number, second: number, pole: V): V {
  const line = sub(to, from);
  const reach = Math.min(length(line), 0.9995 * (first + second));
  const n = unit(line);
  const a = (first * first - second * second + reach * reach) / (2 * reach);
  return add(from, add(mul(n, a), mul(across(pole, n), Math.sqrt(Math.max(0, first * first - a * a)))));
}

export function makePose(m: Moment): Pose {
  const H = m.person.stature;
  const q = m.swing(0);
  const drive = ease(0, 1, m.effort);
  const ahead: V = [Math.cos(m.heading), Math.sin(m.heading), 0];
  const leftward: V = [-ahead[1], ahead[0], 0];
  const turned = (yaw: number): V => add(mul(ahead, Math.cos(yaw)), mul(leftward, Math.sin(yaw)));

  const bob = 0.012 * Math.abs(m.swing(0.5)) * drive;
  const midHip: V = [m.x, m.y, m.person.hipHeight + 0.06 * (1 - drive) + bob - 0.02];
  const pelvisYaw = 0.13 * q * drive;
  const pelvisRoll = -0.17 * q * drive;
  const hipAxis = unit(add(turned(pelvisYaw + Math.PI / 2), [0, 0, pelvisRoll]));

  const lean = 0.62 + 0.2 * drive;
  const sideLean = -0.09 * m.swing(0.35) * drive;
  const trunk = unit(add(add(mul(ahead, Math.sin(lean)), mul(leftward, sideLean)), [0, 0, Math.cos(lean)]));
  const midShoulder = add(midHip, mul(trunk, TRUNK * H));
  const shoulderAxis = unit(
    add(turned(-m.shoulderTurn * q * drive + Math.PI / 2), [0, 0, 0.07 * m.swing(0.35) * drive]),
  );
  const front = unit(cross(shoulderAxis, trunk));
  const chest = add(mix(midHip, midShoulder, 0.78), mul(front, 0.075 * H));
  const head = add(midShoulder, add(mul(ahead, 0.072 * H), [0, 0, 0.118 * H]));

  const leg = (sign: Sign) => {
    const blade = m.blades[sign];
    const hip = add(midHip, mul(hipAxis, sign * HALF_HIPS * H));
    const along = unit(sub(blade.toe, blade.heel));
    const centre = mid(blade.heel, blade.toe);
    const up = across(add([0, 0, 0.35], mul(unit(sub(hip, centre)), 0.65)), along);
    const ankle = add(centre, add(mul(up, 0.128), mul(along, -0.035)));
    const knees = add(mul(unit([along[0], along[1], 0]), 1), mul(leftward, sign * 0.22));
    const knee = joint(hip, ankle, THIGH * H, SHANK * H, knees);
    return { hip, knee, ankle, heel: blade.heel, toe: blade.toe, up, onIce: blade.onIce };
  };

  const arm = (sign: Sign) => {
    const shoulder = add(midShoulder, mul(shoulderAxis, sign * HALF_SHOULDERS * H));
    const { direction, bend, pole } = m.arms[sign];
    const [first, second] = [UPPER_ARM * H, FOREARM * H];
    const reach = Math.sqrt(first * first + second * second - 2 * first * second * Math.cos(bend));
    const inLane = ([forward, outward, up]: V): V =>
      add(add(mul(ahead, forward), mul(leftward, sign * outward)), [0, 0, up]);
    const wrist = add(shoulder, mul(inLane(direction), reach));
    return { shoulder, elbow: joint(shoulder, wrist, first, second, inLane(pole)), wrist };
  };

  return {
    left: { ...leg(1), ...arm(1) },
    right: { ...leg(-1), ...arm(-1) },
    ...{ midHip, midShoulder, chest, head },
    facing: front,
  };
}
