import type { Vec } from "./lens.ts";
import type { Dice } from "./random.ts";

/*
 * A simulated sprinter on skates, every point known at every time. The population is that of the precision study
 * (sections 0, 1, 5 and 6): crouched hips 0.68-0.92 m, recoveries 0-5 or 20-30 cm from the midline, blades that
 * leave the ice with about 1 m/s outward, a heel that lifts first, sway, weave and heading.
 */

export type Foot = "left" | "right";
export const FEET: readonly Foot[] = ["left", "right"];

export type RecoveryPath = "narrow" | "wide";
export type ArmStyle = "fore-aft" | "diagonal" | "side-to-side";

/** One push of one foot: on the ice from `landed` (the landing before) to `off`, then in the air until `on`. */
export interface Push {
  readonly foot: Foot;
  readonly landed: number;
  readonly off: number;
  readonly on: number;
  /** Instant of the smallest outward distance from mid-hip while in the air. */
  readonly nearest: number;
}

export interface SimSkater {
  /** In order of blade-off; the first and last are only there so that the others have neighbours. */
  readonly pushes: readonly Push[];
  readonly path: RecoveryPath;
  readonly arms: ArmStyle;
  readonly hipHeight: number;
  readonly stature: number;
  readonly upperArm: number;
  readonly forearm: number;
  heel(foot: Foot, time: number): Vec;
  toe(foot: Foot, time: number): Vec;
  midHip(time: number): Vec;
  hip(foot: Foot, time: number): Vec;
  shoulder(side: Foot, time: number): Vec;
  elbow(side: Foot, time: number): Vec;
  wrist(side: Foot, time: number): Vec;
  /** Instants at which an arm is at the front and back ends of its swing, one each about every blade-off. */
  readonly swings: readonly { readonly side: Foot; readonly end: "front" | "back"; readonly time: number }[];
}

const sign = (foot: Foot) => (foot === "left" ? 1 : -1);

/** Smooth from (0, a) with slope da to (span, b) with slope db: the cubic through them. */
function cubic(t: number, span: number, a: number, da: number, b: number, db: number): number {
  const rise = (b - a) / span;
  const second = (3 * rise - 2 * da - db) / span;
  const third = (da + db - 2 * rise) / span ** 2;
  return a + t * (da + t * (second + t * third));
}

/** How one foot moves in one push, relative to the body's own line: u outward, a ahead of mid-hip, metres. */
interface Swing {
  readonly push: { readonly foot: Foot; readonly landed: number; readonly off: number; readonly on: number };
  readonly uLanded: number;
  readonly uOff: number;
  readonly uMin: number;
  readonly turn: number;
  readonly uOn: number;
  readonly vLanded: number;
  readonly vOff: number;
  readonly vOn: number;
  readonly aLanded: number;
  readonly aOff: number;
  readonly aOn: number;
  readonly rise: number;
  readonly pitch: number;
  readonly heelOff: number;
  readonly heelOffTime: number;
  readonly heelOn: number;
  readonly heelOnTime: number;
}

export interface SkaterWish {
  readonly path: RecoveryPath;
  readonly arms: ArmStyle;
  /** Blades flat on the ice from landing to leaving: no heel that lifts early or settles late. */
  readonly flat?: boolean;
  /** Where along the lane the middle of the trial is, metres. */
  readonly middle: number;
  readonly pushes: number;
}

const RUNNER = 0.28;

export function simSkater(d: Dice, wish: SkaterWish): SimSkater {
  const stature = d.normal(0.07) + 1.7;
  const hipHeight = d.even(0.68, 0.92);
  const speed = d.even(6.5, 8.8);
  const gain = d.even(0, 1.2);
  const period = d.even(0.29, 0.38);
  const heading = d.normal((0.7 * Math.PI) / 180);
  const weave = d.even(0, 0.1);
  const weavePhase = d.even(0, 2 * Math.PI);
  const sway = d.even(0.02, 0.05);
  const drift = d.normal(0.1);
  const leftBehind = d.even(0.1, 0.2) * speed;
  const landsAhead = d.normal(0.05) + 0.12;
  const [vOff, vOn] = [d.even(0.5, 1.5), d.even(0.4, 1.2)];
  const overlap = d.even(0.04, 0.09);
  const style = wish.path === "narrow" ? d.even(0, 0.05) : d.even(0.2, 0.3);
  const heelTime = d.even(0.008, 0.025);
  const reachShare = d.even(0.8, 1);

  // A leg reaches so far: hip joint to ankle, the ankle 0.13 m above the ice and 4 cm more on the toe.
  const leg = 0.491 * stature + 0.06;
  const reach = (behind: number) =>
    0.14 + Math.sqrt(Math.max(0.04, leg ** 2 - (hipHeight - 0.17) ** 2 - behind ** 2));

  const times: number[] = [0.5];
  for (let k = 1; k < wish.pushes; k++) times.push(times[k - 1]! + period * (1 + d.normal(0.03)));
  const first: Foot = d.chance(0.5) ? "left" : "right";
  const footOf = (k: number): Foot => (k % 2 === 0 ? first : first === "left" ? "right" : "left");

  const swings: Swing[] = [];
  for (let k = 0; k < wish.pushes; k++) {
    const foot = footOf(k);
    const before = swings[k - 2];
    const off = times[k]!;
    const next = times[k + 1] ?? off + period;
    const on = next - overlap * (1 + d.normal(0.1));
    const landed = before?.push.on ?? off - 2 * period + (on - off);
    const uLanded = before?.uOn ?? style + 0.03;
    const vLanded = before?.vOn ?? vOn;
    const aLanded = before?.aOn ?? landsAhead;
    const aOff = aLanded - leftBehind * (off - landed);
    const uOff = Math.min(Math.min(0.75, reach(aOff)) * reachShare + d.normal(0.03), reach(aOff));
    const uMin = style + d.normal(0.01);
    const turn = d.even(0.5, 0.78);
    const vThisOn = vOn * (1 + d.normal(0.1));
    swings.push({
      push: { foot, landed, off, on },
      ...{ uLanded, uOff, uMin, turn, vLanded, aLanded, aOff },
      uOn: uMin + (vThisOn * (1 - turn) * (on - off)) / 2,
      vOff: vOff * (1 + d.normal(0.1)),
      vOn: vThisOn,
      aOn: landsAhead + d.normal(0.03),
      rise: d.even(0.015, 0.05),
      pitch: d.even(0, 0.03),
      heelOff: wish.flat ? 0 : d.even(0, 0.01),
      heelOffTime: heelTime,
      heelOn: wish.flat ? 0 : d.even(0, 0.008),
      heelOnTime: d.even(0.01, 0.03),
    });
  }

  const middleTime = (times[0]! + times[times.length - 1]!) / 2;
  const travelled = (t: number) => speed * (t - middleTime) + (gain * (t - middleTime) ** 2) / 2;
  const pace = (t: number) => speed + gain * (t - middleTime);
  const onLane = (along: number, left: number, up: number): Vec => {
    const n = left + drift + weave * Math.sin((2 * Math.PI * along) / 36 + weavePhase);
    return [
      wish.middle + along * Math.cos(heading) - n * Math.sin(heading),
      along * Math.sin(heading) + n * Math.cos(heading),
      up,
    ];
  };
  /** 0 to 1 from one blade-off to the next, counted through the trial. */
  const phase = (t: number) => {
    let k = 0;
    while (k < times.length - 2 && t > times[k + 1]!) k++;
    return k + (t - times[k]!) / (times[k + 1]! - times[k]!);
  };
  const swayAt = (t: number) => -sway * sign(first) * Math.cos(Math.PI * phase(t) - 0.6);
  const bob = (t: number) => 0.012 * Math.cos(2 * Math.PI * phase(t));

  const byFoot = {
    left: swings.filter((s) => s.push.foot === "left"),
    right: swings.filter((s) => s.push.foot === "right"),
  };
  const swingAt = (foot: Foot, t: number) => {
    const own = byFoot[foot];
    return own.find((s) => t < s.push.on) ?? own[own.length - 1]!;
  };

  /** Outward, ahead, height of toe, extra height of heel. */
  const relative = (foot: Foot, t: number) => {
    const s = swingAt(foot, t);
    const { landed, off, on } = s.push;
    if (t <= off) {
      const since = t - landed;
      const early = Math.max(0, 1 - (off - t) / s.heelOffTime);
      const previous = byFoot[foot][byFoot[foot].indexOf(s) - 1];
      const late = previous ? Math.max(0, 1 - since / previous.heelOnTime) : 0;
      return {
        u: cubic(since, off - landed, s.uLanded, s.vLanded, s.uOff, s.vOff),
        a: s.aLanded - leftBehind * since,
        toe: 0,
        heel: s.heelOff * early ** 2 + (previous?.heelOn ?? 0) * late ** 2,
      };
    }
    const air = on - off;
    const since = t - off;
    const turnAt = s.turn * air;
    const arc = Math.sin((Math.PI * since) / air);
    return {
      u:
        since < turnAt
          ? cubic(since, turnAt, s.uOff, s.vOff, s.uMin, 0)
          : s.uMin + (s.vOn * (since - turnAt) ** 2) / (2 * (air - turnAt)),
      a: cubic(since, air, s.aOff, -leftBehind, s.aOn, -leftBehind),
      toe: s.rise * arc,
      heel: s.heelOff + ((s.heelOn - s.heelOff) * since) / air + s.pitch * arc,
    };
  };
  /** The blade points where it rolls: an edge does not slip sideways. In the air it turns from one to the other. */
  const toeOut = (foot: Foot, t: number) => {
    const s = swingAt(foot, t);
    const rolling = (when: number) => {
      const h = 1e-4;
      return Math.atan2(relative(foot, when).u - relative(foot, when - h).u, h * (pace(when) - leftBehind));
    };
    if (t <= s.push.off) return rolling(Math.max(t, s.push.landed + 2e-4));
    const share = (t - s.push.off) / (s.push.on - s.push.off);
    return (1 - share) * rolling(s.push.off) + share * Math.atan2(s.vOn, pace(s.push.on) - leftBehind);
  };
  const runnerEnd = (foot: Foot, t: number, end: 1 | -1): Vec => {
    const r = relative(foot, t);
    const yaw = toeOut(foot, t);
    return onLane(
      travelled(t) + r.a + (end * RUNNER * Math.cos(yaw)) / 2,
      sign(foot) * (r.u + (end * RUNNER * Math.sin(yaw)) / 2),
      end === 1 ? r.toe : r.toe + r.heel,
    );
  };

  const hipWidth = d.even(0.12, 0.16);
  const midHip = (t: number) => onLane(travelled(t), swayAt(t), hipHeight + bob(t));
  const hip = (foot: Foot, t: number) =>
    onLane(travelled(t), swayAt(t) + sign(foot) * hipWidth, hipHeight + bob(t));

  // Trunk 0.288 of stature from hip to shoulder, limbs 0.186 and 0.146: Drillis and Contini (1966).
  const lean = d.even(0.55, 0.95);
  const trunk = 0.288 * stature;
  const shoulderWidth = 0.129 * stature * d.even(0.8, 1);
  const [upperArm, forearm] = [
    0.186 * stature * (1 + d.normal(0.03)),
    0.146 * stature * (1 + d.normal(0.03)),
  ];
  const shoulder = (side: Foot, t: number) =>
    onLane(
      travelled(t) + trunk * Math.sin(lean) - sign(side) * 0.03 * armTurn(side, t),
      0.6 * swayAt(t) + sign(side) * shoulderWidth,
      hipHeight + bob(t) + trunk * Math.cos(lean),
    );
  const across =
    wish.arms === "fore-aft"
      ? d.even(0, 0.15)
      : wish.arms === "diagonal"
        ? d.even(0.65, 0.92)
        : d.even(1.4, 1.57);
  const reachOut = d.even(0, 0.2);
  const [upperMiddle, upperHalf] = [d.even(-0.35, 0), d.even(0.45, 0.75)];
  const [bendMiddle, bendHalf] = [d.even(1.1, 1.6), d.even(0.1, 0.35)];
  /** +1 at the front end of the swing, -1 at the back: each arm goes with the other leg. */
  const armTurn = (side: Foot, t: number) =>
    (side === first ? -1 : 1) * Math.cos(Math.PI * (phase(t) - 0.08));
  /** Direction of a segment: `angle` from hanging straight down, forward in the plane of the swing. */
  const segment = (side: Foot, from: Vec, length: number, angle: number): Vec => {
    const forward = length * Math.sin(angle);
    const outward = length * reachOut * Math.cos(angle);
    const down =
      Math.sqrt(Math.max(0, length ** 2 - forward ** 2 - outward ** 2)) * Math.sign(Math.cos(angle));
    // In front of the body the hand goes across it: inward, which is to the other side.
    const along = forward * Math.cos(across) + outward * Math.sin(across);
    const left = sign(side) * (outward * Math.cos(across) - forward * Math.sin(across));
    return [
      from[0] + along * Math.cos(heading) - left * Math.sin(heading),
      from[1] + along * Math.sin(heading) + left * Math.cos(heading),
      from[2] - down,
    ];
  };
  const elbow = (side: Foot, t: number) =>
    segment(side, shoulder(side, t), upperArm, upperMiddle + upperHalf * armTurn(side, t));
  const wrist = (side: Foot, t: number) => {
    const turn = armTurn(side, t);
    return segment(
      side,
      elbow(side, t),
      forearm,
      upperMiddle + upperHalf * turn + bendMiddle + bendHalf * turn,
    );
  };

  /** Where `f` is least between two instants with one dip: golden section. */
  const least = (f: (t: number) => number, low: number, high: number) => {
    const ratio = (Math.sqrt(5) - 1) / 2;
    let [a, b] = [low, high];
    for (let k = 0; k < 40; k++) {
      const [p, q] = [b - ratio * (b - a), a + ratio * (b - a)];
      if (f(p) < f(q)) b = q;
      else a = p;
    }
    return (a + b) / 2;
  };
  const outwardOfHip = (foot: Foot, t: number) => relative(foot, t).u - sign(foot) * swayAt(t);
  const pushes = swings.map(({ push }) => {
    const outward = (t: number) => outwardOfHip(push.foot, t);
    const step = (push.on - push.off) / 40;
    const tries = Array.from({ length: 41 }, (_, k) => push.off + k * step);
    const about = tries.reduce((best, t) => (outward(t) < outward(best) ? t : best));
    return {
      ...push,
      nearest: least(outward, Math.max(push.off, about - step), Math.min(push.on, about + step)),
    };
  });
  const armSwings = times.slice(0, -1).flatMap((_, k) =>
    FEET.map((side) => {
      const length = times[k + 1]! - times[k]!;
      const time = times[k]! + 0.08 * length;
      return { side, end: armTurn(side, time) > 0 ? ("front" as const) : ("back" as const), time };
    }),
  );
  return {
    ...{ pushes, path: wish.path, arms: wish.arms, hipHeight, stature, upperArm, forearm },
    heel: (foot, t) => runnerEnd(foot, t, -1),
    toe: (foot, t) => runnerEnd(foot, t, 1),
    ...{ midHip, hip, shoulder, elbow, wrist, swings: armSwings },
  };
}
