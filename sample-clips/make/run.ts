/** One skate over the lane as exact motion: any moment's pose, and the moments that things happen. */
import { type ArmExtreme, type ArmPlane, planeArms } from "./arms.ts";
import { type Blades, makeBlades, type Track } from "./blades.ts";
import { type Limb, makePose, type Pose } from "./body.ts";
import type { Other, RunSpec } from "./people.ts";
import { fitProgress, type Progress, STILL } from "./progress.ts";
import { seeded } from "./random.ts";
import { type Push, planPushes } from "./schedule.ts";
import { taughtArms } from "./taughtArms.ts";
import { add, ease, root, type V } from "./vec.ts";
import { GATES } from "./world.ts";

export interface Run {
  readonly spec: RunSpec;
  readonly pushes: readonly Push[];
  readonly armExtremes: readonly ArmExtreme[];
  /** Exact times at which the front of the torso passes each gate, seconds of real time. */
  readonly gateTimes: readonly number[];
  /** The run is defined from 0 to here. */
  readonly end: number;
  readonly progress: Progress;
  poseAt(t: number): Pose;
}

/** Half turns of the stride at time t: k at blade-off k; smooth and rising (Fritsch & Carlson's monotone cubic). */
function strideClock(pushes: readonly Push[]): (t: number) => number {
  const ts = pushes.map((p) => p.off);
  const gaps = ts.slice(1).map((t, i) => t - ts[i]!);
  const slopes = ts.map((_, i) => {
    const before = gaps[i - 1] ?? gaps[0]!;
    const after = gaps[i] ?? gaps.at(-1)!;
    return 2 / (before + after);
  });
  return (t) => {
    if (t <= ts[0]!) return (t - ts[0]!) * slopes[0]!;
    const i = Math.min(
      ts.length - 2,
      ts.findLastIndex((x) => x <= t),
    );
    const h = gaps[i]!;
    const s = (t - ts[i]!) / h;
    const [a, b] = [slopes[i]! * h, slopes[i + 1]! * h];
    return i + a * s + (3 - 2 * a - b) * s * s + (a + b - 2) * s * s * s;
  };
}

/** The pushes, each moment by itself earlier or later by so much SD, seconds, at most twice that. */
function scattered(pushes: readonly Push[], sd: number, name: string): readonly Push[] {
  if (sd === 0) return pushes;
  const random = seeded(name);
  const by = () => sd * Math.max(-2, Math.min(2, random.normal()));
  return pushes.map((p) => ({ ...p, on: p.on + by(), off: p.off + by() }));
}

/** With open recovery the arms go out as well; nobody asked for it. */
const usualPlane = (technique: string, variation: number): ArmPlane =>
  technique === "open"
    ? { azimuth: 0.86 + 0.06 * variation, sweep: 0.8, mean: 0.12 }
    : { azimuth: 0.22 + 0.05 * variation, sweep: 0.86, mean: 0.1 };

export function makeRun(spec: RunSpec): Run {
  const { person } = spec;
  const random = seeded(`track of ${spec.name}`);
  const chestAhead = 0.4;
  const progress = fitProgress(person.topSpeed, GATES[0] - chestAhead, GATES[1] - chestAhead, spec.gateTime);
  const end = progress.timeAt(35);
  const pushes = planPushes(spec, progress, end + 0.6);

  const drift = 0.006 * random.normal();
  const offset = 0.04 * random.normal();
  const weave = 0.03 + 0.02 * random.next();
  const waveLength = 24 + 8 * random.next();
  const wavePhase = 2 * Math.PI * random.next();
  const track: Track = {
    y: (x) => offset + drift * x + weave * Math.sin((2 * Math.PI * x) / waveLength + wavePhase),
  };
  const sway = 0.042 + 0.008 * random.normal();
  const habit = random.normal();

  const scatter = spec.limbScatter ?? 0;
  const clock = strideClock(scattered(pushes, scatter, `arms and trunk of ${spec.name}`));
  const legs = scattered(pushes, scatter, `legs of ${spec.name}`);
  const blades: Blades = makeBlades(pushes, progress, track, legs);
  const swingAt = (t: number) => (lag: number) => person.firstPush * Math.cos(Math.PI * (clock(t) - lag));
  const arms = spec.arms
    ? taughtArms(spec, spec.arms, pushes)
    : planeArms(usualPlane(spec.technique, habit), pushes, clock, (t, lag) => swingAt(t)(lag));

  const poseAt = (t: number): Pose => {
    const x = progress.x(t);
    const effort = ease(STILL, STILL + 0.55, t);
    const swing = swingAt(t);
    // The body is farthest over each gliding blade half-way through its time alone on the ice.
    const y = track.y(x) - sway * effort * swing(0.4);
    return makePose({
      ...{ person, x, y, effort, swing },
      arms: { 1: arms.at(1, t, effort), [-1]: arms.at(-1, t, effort) },
      shoulderTurn: arms.shoulderTurn,
      heading: Math.atan2(track.y(x + 0.5) - track.y(x - 0.5), 1),
      blades: { 1: blades.at(1, t), [-1]: blades.at(-1, t) },
    });
  };

  const gateTimes = GATES.map((gate) => root((t) => poseAt(t).chest[0] - gate, STILL, end));
  return { spec, pushes, armExtremes: arms.extremes, gateTimes, end, progress, poseAt };
}

/** Somebody else's run, so far beside and ahead of where it was planned. */
export function besideRun({ run: spec, aside, ahead }: Other): Run {
  const run = makeRun(spec);
  const by: V = [ahead, aside, 0];
  const limb = (l: Limb): Limb => ({
    ...l,
    ...{ hip: add(l.hip, by), knee: add(l.knee, by), ankle: add(l.ankle, by) },
    ...{ heel: add(l.heel, by), toe: add(l.toe, by) },
    ...{ shoulder: add(l.shoulder, by), elbow: add(l.elbow, by), wrist: add(l.wrist, by) },
  });
  const poseAt = (t: number): Pose => {
    const p = run.poseAt(t);
    return {
      ...{ left: limb(p.left), right: limb(p.right), facing: p.facing },
      ...{ midHip: add(p.midHip, by), midShoulder: add(p.midShoulder, by) },
      ...{ chest: add(p.chest, by), head: add(p.head, by) },
    };
  };
  return { ...run, poseAt };
}
