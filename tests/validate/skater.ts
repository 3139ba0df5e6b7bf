import { drawHabits, type Habits } from "./habits.ts";
import type { Vec } from "./lens.ts";
import type { Dice } from "./random.ts";

/*
 * A simulated sprinter on skates, every point known at every time: recoveries 0-5 or 20-30 cm from the midline, blades
 * that roll along their edges, a heel that lifts first, sway, weave and heading. How much of each is drawn for each
 * skater (`habits.ts`).
 *
 * Not the tests' skater (tests/helpers/skater.ts), and the two share nothing: that one is plain and fully given, for laws and
 * millimetres; this one is drawn, wider than the core's beliefs, for how often intervals hold. One made of both would be
 * wrong in both places at once.
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
  /** Number of pushes before the first real one, of a skater who stands at first; null of one who comes skating. */
  readonly standsBefore: number | null;
  /** Unit vector of the body's own travel, without its sway. */
  course(time: number): readonly [x: number, y: number];
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
  /** Share of the skater's speed by which it falls behind while it carries. */
  readonly behind: number;
  readonly rise: number;
  readonly pitch: number;
  readonly kick: number;
  readonly slip: number;
  readonly heelOff: number;
  readonly heelOffTime: number;
  readonly heelOn: number;
  readonly heelOnTime: number;
}

/** How far a skater has come along the travel, metres, and how fast, m/s. Standing skaters start a period before their first push ends. */
function motion({ start, speed, gain, period }: Habits, times: readonly number[]) {
  if (!start) {
    const middle = (times[0]! + times[times.length - 1]!) / 2;
    return {
      travelled: (t: number) => speed * (t - middle) + (gain * (t - middle) ** 2) / 2,
      pace: (t: number) => speed + gain * (t - middle),
    };
  }
  const since = (t: number) => Math.max(0, t - (times[BEFORE_START]! - period));
  // So slow before the start that nobody sees it, and blades still have a direction.
  const creep = 0.02;
  return {
    travelled: (t: number) =>
      creep * t + start.topSpeed * (since(t) - start.tau * (1 - Math.exp(-since(t) / start.tau))),
    pace: (t: number) => creep + start.topSpeed * (1 - Math.exp(-since(t) / start.tau)),
  };
}

export interface SkaterWish {
  readonly path: RecoveryPath;
  readonly arms: ArmStyle;
  /** Blades flat on the ice from landing to leaving: no heel that lifts early or settles late. */
  readonly flat?: boolean;
  /** Where along the lane the middle of the trial is, metres. */
  readonly middle: number;
  readonly pushes: number;
  /** Stands at first, here along the lane (m), or skates as it comes; by the skater's own habit where not said. */
  readonly fromRest?: boolean;
  readonly restsAt: number;
  /** How high the recovering blade is lifted, metres, where not by habit. */
  readonly lift?: number;
}

/** From rest: pushes that are there only for the phase of what swings; the next one is the first real push. */
const BEFORE_START = 2;

const RUNNER = 0.28;

export function simSkater(d: Dice, wish: SkaterWish): SimSkater {
  const habits = drawHabits(d, wish);
  const { stature, hipHeight, period, sway, overlap, heelTime, reachShare, leftMore, start } = habits;
  const heading = d.normal((0.7 * Math.PI) / 180);
  const weave = d.even(0, 0.1);
  const weavePhase = d.even(0, 2 * Math.PI);
  const drift = d.normal(0.1);
  const style = wish.path === "narrow" ? d.even(0, 0.05) : d.even(0.2, 0.3);

  // A leg reaches so far: hip joint to ankle, the ankle 0.13 m above the ice and 4 cm more on the toe.
  const leg = 0.491 * stature + 0.06;
  const reach = (behind: number) =>
    0.14 + Math.sqrt(Math.max(0.04, leg ** 2 - (hipHeight - 0.17) ** 2 - behind ** 2));

  const first: Foot = d.chance(0.5) ? "left" : "right";
  const footOf = (k: number): Foot => (k % 2 === 0 ? first : first === "left" ? "right" : "left");
  const times: number[] = [0.5];
  for (let k = 1; k < wish.pushes; k++) {
    const longer = sign(footOf(k)) * leftMore.time + d.normal(0.03 * habits.tremble);
    times.push(times[k - 1]! + period * (1 + longer));
  }
  const { travelled, pace } = motion(habits, times);
  /** What of a stride's full reach it has, and by how much it grips: 1 = a start's first push, 0 = long after. */
  const young = (k: number) => (start ? Math.exp(-Math.max(0, k - BEFORE_START) / start.strides) : 0);

  const swings: Swing[] = [];
  for (let k = 0; k < wish.pushes; k++) {
    const foot = footOf(k);
    const before = swings[k - 2];
    const off = times[k]!;
    const next = times[k + 1] ?? off + period;
    const on = next - overlap * (1 + d.normal(0.15 * habits.tremble));
    const landed = before?.push.on ?? off - 2 * period + (on - off);
    const more = sign(foot) / 2;
    const uLanded = before?.uOn ?? style + 0.03;
    const vLanded = before?.vOn ?? habits.vOn;
    const aLanded = before?.aOn ?? habits.landsAhead;
    // A blade that grips stands still; one that glides falls behind a little.
    const grip = habits.behindShare + (0.8 - habits.behindShare) * young(k);
    const farthest = Math.sqrt(Math.max(0.04, leg ** 2 - (hipHeight - 0.17) ** 2 - 0.2 ** 2));
    const behind = Math.min(grip, (aLanded + farthest) / (travelled(off) - travelled(landed)));
    const aOff = aLanded - behind * (travelled(off) - travelled(landed));
    const wide = (0.75 + more * leftMore.reach) * reachShare * (1 - (start?.narrower ?? 0) * young(k));
    const uOff = Math.min(Math.min(wide, reach(aOff) * reachShare) + d.normal(0.03), reach(aOff));
    const uMin = style + more * leftMore.recovery + d.normal(0.01);
    const turn = d.even(0.5, 0.78);
    const vThisOn = habits.vOn + d.normal(0.1);
    swings.push({
      push: { foot, landed, off, on },
      ...{ uLanded, uOff, uMin, turn, vLanded, aLanded, aOff },
      uOn: uMin + (vThisOn * (1 - turn) * (on - off)) / 2,
      vOff: habits.vOff + d.normal(0.1),
      vOn: vThisOn,
      aOn: habits.landsAhead + d.normal(0.03),
      behind,
      rise: Math.max(0.005, habits.lift * (1 + d.normal(0.15))),
      pitch: habits.heelUp,
      kick: habits.kick,
      slip: wish.flat ? 0 : d.normal(habits.slip),
      heelOff: wish.flat ? 0 : d.even(0, 0.01),
      heelOffTime: heelTime,
      heelOn: wish.flat ? 0 : d.even(0, 0.008),
      heelOnTime: d.even(0.01, 0.03),
    });
  }

  const from = start ? wish.restsAt - travelled(times[BEFORE_START]! - period) : wish.middle;
  const onLane = (along: number, left: number, up: number): Vec => {
    const n = left + drift + weave * Math.sin((2 * Math.PI * along) / 36 + weavePhase);
    return [
      from + along * Math.cos(heading) - n * Math.sin(heading),
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
  const swayAt = (t: number) => -sway * sign(first) * Math.cos(Math.PI * phase(t) - habits.swayAhead);
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
        a: s.aLanded - s.behind * (travelled(t) - travelled(landed)),
        toe: 0,
        heel: s.heelOff * early ** 2 + (previous?.heelOn ?? 0) * late ** 2,
      };
    }
    const air = on - off;
    const since = t - off;
    const turnAt = s.turn * air;
    const following = byFoot[foot][byFoot[foot].indexOf(s) + 1] ?? s;
    const arc = Math.sin((Math.PI * since) / air);
    return {
      u:
        since < turnAt
          ? cubic(since, turnAt, s.uOff, s.vOff, s.uMin, 0)
          : s.uMin + (s.vOn * (since - turnAt) ** 2) / (2 * (air - turnAt)),
      a:
        cubic(since, air, s.aOff, -s.behind * pace(off), s.aOn, -following.behind * pace(on)) +
        s.kick * arc ** 2,
      toe: s.rise * arc,
      heel: s.heelOff + ((s.heelOn - s.heelOff) * since) / air + s.pitch * arc,
    };
  };
  /** The blade points where it rolls: an edge does not slip sideways. In the air it turns from one to the other. */
  const toeOut = (foot: Foot, t: number) => {
    const s = swingAt(foot, t);
    const rolling = (when: number) => {
      const h = 1e-4;
      const out = relative(foot, when).u - relative(foot, when - h).u;
      return s.slip + Math.atan2(out, h * pace(when) * (1 - s.behind));
    };
    if (t <= s.push.off) return rolling(Math.max(t, s.push.landed + 2e-4));
    const share = (t - s.push.off) / (s.push.on - s.push.off);
    const after = byFoot[foot][byFoot[foot].indexOf(s) + 1] ?? s;
    const landing = after.slip + Math.atan2(s.vOn, pace(s.push.on) * (1 - after.behind));
    return (1 - share) * rolling(s.push.off) + share * landing;
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
  const course = (t: number): readonly [number, number] => {
    const [a, b] = [t - 0.05, t + 0.05].map((when) => onLane(travelled(when), 0, 0)) as [Vec, Vec];
    const turn = Math.atan2(b[1] - a[1], b[0] - a[0]);
    return [Math.cos(turn), Math.sin(turn)];
  };
  return {
    ...{ pushes, path: wish.path, arms: wish.arms, hipHeight, stature, upperArm, forearm },
    ...{ course, standsBefore: start ? BEFORE_START : null },
    heel: (foot, t) => runnerEnd(foot, t, -1),
    toe: (foot, t) => runnerEnd(foot, t, 1),
    ...{ midHip, hip, shoulder, elbow, wrist, swings: armSwings },
  };
}
