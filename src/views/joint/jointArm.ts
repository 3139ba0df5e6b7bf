import { limbs, shoulderBelief } from "../../kinematics/arms/armBeliefs.ts";
import { swingOf } from "../../kinematics/arms/armSwing.ts";
import { folded } from "../../kinematics/arms/axisMean.ts";
import type { Outcome } from "../../kinematics/quantities/readingOf.ts";
import { Unmeasurable } from "../../kinematics/quantities/unmeasurable.ts";
import { sideSign } from "../../kinematics/trial/across.ts";
import { markMiddle } from "../../kinematics/trial/airborne.ts";
import { speedAlong, type TravelLine, travelLine } from "../../kinematics/trial/travelLine.ts";
import type { EventFrame, PointName, Side } from "../../study/types.ts";
import { condensed, derive, deriveOne, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { Conditioning } from "./conditioning.ts";
import { type JointPoint, jointPoint, type PointBelief, type Sight } from "./jointPoint.ts";
import { HAND, movedIn } from "./moved.ts";
import { before } from "./offIce.ts";
import { had, type Joint, secondsBetween, type View } from "./view.ts";

type ArmPoint = "shoulder" | "elbow" | "wrist";

/** An arm at one extreme, by the rays of several views. */
interface SeenArm {
  readonly shoulder: JointPoint;
  readonly wrist: JointPoint;
  /** Null where fewer than two views show it. */
  readonly elbow: JointPoint | null;
}

/** A swing by several views: no lengths of limbs and no answers about toward and away are needed. */
export interface JointSwing {
  readonly axis: Outcome;
  readonly direction: Outcome;
  readonly angle: Outcome;
  readonly views: readonly number[];
  /** Joints as the rays meet in them, for judging whether they do. */
  readonly met: readonly ArmMeeting[];
}

/** How badly the rays of a joint of an arm meet. */
export interface ArmMeeting {
  readonly joint: ArmPoint;
  readonly side: Side;
  readonly point: JointPoint;
  readonly views: readonly number[];
  readonly frames: readonly number[];
}

/** Elbow and wrist about the shoulder, metres: an arm's length either way. [judgement] */
const ABOUT_SHOULDER: Readonly<Record<ArmPoint, { readonly u: number; readonly below: number }>> = {
  shoulder: { u: 0, below: 0 },
  elbow: { u: 0.3, below: 0.15 },
  wrist: { u: 0.45, below: 0.2 },
};

/** One arm's joint is marked now here, now there on the same limb, metres. [judgement] */
const SAME_LIMB_U = 0.01;
/** Ends of a limb known worse than this make its length too long on average, and it is not held to anything, metres. */
const KNOWN_ENOUGH = 0.05;

/**
 * The swing of one arm in stride `n` of the base view, where two or more views mark shoulder and wrist at both its ends.
 *
 * @param shownIn the frames of the same extreme in all views
 * @throws {Unmeasurable}
 */
export function jointSwing(
  joint: Joint,
  base: View,
  n: number,
  side: Side,
  shownIn: (event: EventFrame) => readonly { readonly view: View; readonly event: EventFrame }[],
): JointSwing {
  const { trial } = base;
  const swing = swingOf(trial, base.assessment.input.events, n, side);
  const line = travelLine(trial, n);
  const met: ArmMeeting[] = [];
  const [front, back] = [swing.front, swing.back].map((event) =>
    armAt({ joint, base, side, line }, event, shownIn(event), met),
  ) as [SeenArm, SeenArm];
  const lengths = heldLengths(joint, base, front, back);
  const at = [front.shoulder, front.wrist, back.shoulder, back.wrist].flatMap(({ x, y, z }) => [x, y, z]);
  const inputs = [...at, line.from.x, line.from.y, line.to.x, line.to.y];
  const [azimuth, angle] = derive(swingOfPoints, inputs).map((value) =>
    lengths.applied(condensed(value, false)),
  ) as [Uncertain, Uncertain];
  return {
    axis: { value: weightedSum([[sideSign(side), azimuth]]) },
    direction: { value: folded(azimuth) },
    angle: { value: angle },
    views: [...new Set(met.flatMap(({ views }) => views))].sort((a, b) => a - b),
    met,
  };
}

const DEG = 180 / Math.PI;

/** Azimuth of the wrist's travel from the shoulder against the travel, and angle between both reaches, degrees. */
function swingOfPoints(...p: number[]): [number, number] {
  const reach = (k: number) => [p[k + 3]! - p[k]!, p[k + 4]! - p[k + 1]!, p[k + 5]! - p[k + 2]!] as const;
  const [f, b] = [reach(0), reach(6)];
  const [dx, dy] = [p[14]! - p[12]!, p[15]! - p[13]!];
  const [wx, wy] = [f[0] - b[0], f[1] - b[1]];
  const azimuth = DEG * Math.atan2(dx * wy - dy * wx, dx * wx + dy * wy);
  const cosine = (f[0] * b[0] + f[1] * b[1] + f[2] * b[2]) / (Math.hypot(...f) * Math.hypot(...b));
  return [azimuth, DEG * Math.acos(Math.max(-1, Math.min(1, cosine)))];
}

interface ArmSought {
  readonly joint: Joint;
  readonly base: View;
  readonly side: Side;
  readonly line: TravelLine;
}

function armAt(
  { joint, base, side, line }: ArmSought,
  event: EventFrame,
  shown: readonly { readonly view: View; readonly event: EventFrame }[],
  met: ArmMeeting[],
): SeenArm {
  const held = shoulderBelief(base.trial, event.frame, side, line);
  const find = (point: ArmPoint): JointPoint | null => {
    const sights = shown.flatMap((one) => sightOf(joint, [base, event], one, { side, point, line }));
    if (sights.length < 2) return null;
    const belief = about(joint, { line, along: held.along, height: held.height }, point);
    const found = jointPoint(
      sights.map(({ sight }) => sight),
      belief,
      before(belief),
    );
    const views = sights.map(({ view }) => view);
    met.push({ joint: point, side, point: found, views, frames: sights.map(({ sight }) => sight.frame) });
    const { x, y, z } = found;
    return { ...found, x: condensed(x, false), y: condensed(y, false), z: condensed(z, false) };
  };
  const [shoulder, elbow, wrist] = [find("shoulder"), find("elbow"), find("wrist")];
  if (shoulder && wrist) return { shoulder, elbow, wrist };
  throw new Unmeasurable(
    `Only one view marks the ${side} arm's ${shoulder ? "wrist" : "shoulder"} at its ${event.event === "arm_front" ? "front" : "back"} extreme.`,
  );
}

function sightOf(
  joint: Joint,
  from: readonly [View, EventFrame],
  { view, event }: { readonly view: View; readonly event: EventFrame },
  { side, point, line }: { readonly side: Side; readonly point: PointName; readonly line: TravelLine },
): { readonly view: number; readonly sight: Sight }[] {
  const { ground } = view.trial;
  const [base] = from;
  if (!ground.cameraIn(event.frame) || ground.offIceWhy) return [];
  const mark = had(() => markMiddle(view.trial, event.frame, [[side, point]]));
  if (!mark) return [];
  const moved =
    view === base
      ? null
      : movedIn(secondsBetween(from, [view, event]), line, speedAlong(base.trial, line), HAND, joint.sources);
  return [{ view: view.index, sight: { trial: view.trial, frame: event.frame, mark, moved } }];
}

/** What is held of a joint, by what is held of its shoulder. */
function about({ sources }: Joint, { line, along, height }: PointBelief, point: ArmPoint): PointBelief {
  const { u, below } = ABOUT_SHOULDER[point];
  const add = (base: Uncertain, mean: number) =>
    weightedSum([
      [1, base],
      [1, sources.add(mean, u)],
    ]);
  return { line, along: add(along, 0), height: add(height, -below) };
}

/** Upper arm and forearm are as long at the front as at the back, and as long as was typed. */
function heldLengths({ sources }: Joint, base: View, front: SeenArm, back: SeenArm): Conditioning {
  const known = new Conditioning();
  const typed = had(() => limbs(base.trial));
  ([0, 1] as const).forEach((limb) => {
    const found = [front, back].flatMap((arm) => {
      const { shoulder, elbow, wrist } = arm;
      if (!elbow) return [];
      const ends = limb === 0 ? [shoulder, elbow] : [elbow, wrist];
      const coordinates = ends.flatMap(({ x, y, z }) => [x, y, z]);
      if (coordinates.some(({ u }) => u > KNOWN_ENOUGH)) return [];
      const length = deriveOne(
        (...[ax, ay, az, bx, by, bz]) => Math.hypot(bx! - ax!, by! - ay!, bz! - az!),
        coordinates,
      );
      return [length];
    });
    const same = (a: Uncertain, b: Uncertain) =>
      known.add(
        weightedSum([
          [1, a],
          [-1, b],
          [1, sources.add(0, SAME_LIMB_U)],
        ]),
      );
    if (found.length === 2) same(found[0]!, found[1]!);
    if (typed) for (const length of found) same(length, typed[limb]);
  });
  return known;
}
