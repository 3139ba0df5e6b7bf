import type { SeeingCamera } from "../../ice/camera/ground.ts";
import type { Answers } from "./armAnswers.ts";
import { jointOnRay, type ShoulderBelief, shoulderOnRay, sight, type Vector } from "./armPose.ts";
import { BELIEFS_AT, LIMBS_AT, LINE_AT, markAt, type SwingBasis } from "./swingBasis.ts";

/** An arm at one extreme and what it is found from. */
export interface Pose {
  readonly seen: SeeingCamera;
  readonly belief: ShoulderBelief;
  readonly rays: readonly [shoulder: Vector, elbow: Vector, wrist: Vector];
  readonly shoulder: Vector;
  readonly elbow: Vector;
  readonly wrist: Vector;
}

/** Its parts, one bit each: a derivative moves one thing at a time, and most of them touch few. */
const [CAMERA, BELIEF, SHOULDER_RAY, ELBOW_RAY, WRIST_RAY] = [1, 2, 4, 8, 16] as const;
const [SHOULDER, ELBOW, WRIST] = [32, 64, 128] as const;
const EVERYTHING = 255;
const TOWARD: Answers = { elbow: true, wrist: true };

/** The poses of one swing at its two extremes, k = 0 front, 1 back, for whichever answers. */
export class Poses {
  /** The central values of the swing's list, depths and all. */
  readonly values: readonly number[];
  /** With both joints toward the camera. */
  readonly first: readonly [Pose, Pose];
  private readonly basis: SwingBasis;
  private readonly restOn: readonly (readonly number[])[];
  /** The poses of the central values, by the answers. */
  private readonly known = [new Map<number, Pose>(), new Map<number, Pose>()];

  constructor(basis: SwingBasis) {
    this.basis = basis;
    this.values = [...basis.args.map((a) => a.value), 0, 0, 0, 0];
    this.restOn = [partsMovedBy(basis, 0), partsMovedBy(basis, 1)];
    this.first = [this.pose(this.values, 0, TOWARD), this.pose(this.values, 1, TOWARD)];
  }

  /** The pose of the central values. */
  middle(k: 0 | 1, answers: Answers): Pose {
    const key = ((answers.elbow ?? true) ? 1 : 0) + ((answers.wrist ?? true) ? 2 : 0);
    const found = this.known[k]!.get(key) ?? this.pose(this.values, k, answers, ELBOW | WRIST, this.first[k]);
    this.known[k]!.set(key, found);
    return found;
  }

  /** @param moved as in `OfMany` */
  at(values: readonly number[], k: 0 | 1, answers: Answers, moved: number | undefined): Pose {
    if (moved === undefined) return this.pose(values, k, answers);
    const anew = moved < 0 ? 0 : this.restOn[k]![moved]!;
    const before = this.middle(k, answers);
    return anew === 0 ? before : this.pose(values, k, answers, anew, before);
  }

  /** Shoulder and both joints: the `anew` parts; the others are as they were `before`. */
  private pose(
    values: readonly number[],
    k: 0 | 1,
    answers: Answers,
    anew = EVERYTHING,
    before: Pose | null = null,
  ): Pose {
    const { cameras, deviationsAt: own, args } = this.basis;
    const seen =
      before === null || anew & CAMERA ? cameras[k]!(values.slice(own[k], own[k + 1])) : before.seen;
    const { camera } = seen;
    const ray = (part: number, m: 0 | 1 | 2) => {
      if (before !== null && !(anew & part)) return before.rays[m];
      const at = markAt(k, m);
      return sight(camera, seen.straighten(values[at]!, values[at + 1]!));
    };
    const rays = [ray(SHOULDER_RAY, 0), ray(ELBOW_RAY, 1), ray(WRIST_RAY, 2)] as const;
    const belief = before === null || anew & BELIEF ? this.beliefAt(values, k) : before.belief;
    const shoulder =
      before === null || anew & SHOULDER ? shoulderOnRay(camera, rays[0], belief) : before.shoulder;
    const joint = (m: 1 | 2, from: Vector, isToward = true) =>
      jointOnRay(camera, rays[m], {
        from,
        length: values[LIMBS_AT + m - 1]!,
        isToward,
        deeper: values[args.length + 2 * k + m - 1]!,
      });
    const elbow = before === null || anew & ELBOW ? joint(1, shoulder, answers.elbow) : before.elbow;
    const wrist = before === null || anew & WRIST ? joint(2, elbow, answers.wrist) : before.wrist;
    return { seen, belief, rays, shoulder, elbow, wrist };
  }

  private beliefAt(values: readonly number[], k: 0 | 1): ShoulderBelief {
    const [fx, fy] = [values[LINE_AT]!, values[LINE_AT + 1]!];
    const [dx, dy] = [values[LINE_AT + 2]! - fx, values[LINE_AT + 3]! - fy];
    const length = Math.sqrt(dx * dx + dy * dy);
    const direction = [dx / length, dy / length] as const;
    const first = BELIEFS_AT + 3 * k;
    const [a, c] = [values[first]!, values[first + 1]!];
    const at: Vector = [
      fx + a * direction[0] - c * direction[1],
      fy + a * direction[1] + c * direction[0],
      values[first + 2]!,
    ];
    return { direction, at, ...this.basis.sds[k]! };
  }
}

/** The parts of pose `k` that rest on each number of the list: its own marks, beliefs, camera and depths, and what both share. */
function partsMovedBy({ args, deviationsAt: own }: SwingBasis, k: 0 | 1): number[] {
  const parts = new Array<number>(args.length + 4).fill(0);
  const mark = (m: 0 | 1 | 2, on: number) => parts.fill(on, markAt(k, m), markAt(k, m) + 2);
  mark(0, SHOULDER_RAY | SHOULDER | ELBOW | WRIST);
  mark(1, ELBOW_RAY | ELBOW | WRIST);
  mark(2, WRIST_RAY | WRIST);
  const beliefs = BELIEFS_AT + 3 * k;
  parts.fill(BELIEF | SHOULDER | ELBOW | WRIST, beliefs, beliefs + 3);
  parts.fill(ELBOW | WRIST, LIMBS_AT, LIMBS_AT + 1).fill(WRIST, LIMBS_AT + 1, LINE_AT);
  parts.fill(BELIEF | SHOULDER | ELBOW | WRIST, LINE_AT, LINE_AT + 4);
  parts.fill(EVERYTHING & ~BELIEF, own[k], own[k + 1]);
  const deeper = args.length + 2 * k;
  return parts.fill(ELBOW | WRIST, deeper, deeper + 1).fill(WRIST, deeper + 1, deeper + 2);
}
