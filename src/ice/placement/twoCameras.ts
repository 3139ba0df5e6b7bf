import { AIRBORNE_BLADE_HEIGHT, HIP_FROM_STANDING_AT_OFF, HIP_HEIGHT } from "../../priors.ts";
import type { CameraPlan } from "../../study/types.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { choleskyFactor, solveFactored } from "../numeric/positiveDefinite.ts";
import { type AtPoint, alongZone, MOST, PLANNED, type PlannedQuantity, refusalAt } from "./alongZone.ts";
import { plannedCamera } from "./cameraPlan.ts";
import {
  AIRBORNE_ALONG,
  ALONG,
  armSwingOf,
  type Expected,
  eventSd,
  FITTED,
  LIFT_TOUCHDOWN,
  LIFT_WIDTH,
  OFF_ACROSS,
  ON_ACROSS,
  RECOVERY_REST,
} from "./expectedPrecision.ts";

/** One camera as a place of the lane is seen by it. */
interface Seeing {
  readonly plan: CameraPlan;
  /** Metres at the skater to one mark's SD, square to the ray. */
  readonly perRay: number;
  readonly at: AtPoint;
}

/** What is known of a point's place beside its rays, metres. */
interface Known {
  readonly z: number;
  readonly zU: number;
  /** Infinite = nothing. */
  readonly alongU: number;
}

/** On the ice, to a tenth of a millimetre. */
const ON_ICE: Known = { z: 0, zU: 1e-4, alongU: Number.POSITIVE_INFINITY };
const HIP: Known = { z: HIP_HEIGHT.mean, zU: HIP_HEIGHT.u, alongU: HIP_FROM_STANDING_AT_OFF.u };
const IN_THE_AIR: Known = {
  z: AIRBORNE_BLADE_HEIGHT.mean,
  zU: AIRBORNE_BLADE_HEIGHT.u,
  alongU: AIRBORNE_ALONG,
};

/**
 * What one stride can be measured to by the cameras that see it, together: what each ray tells of a point, across it, and what is
 * known of its height and place along the lane add up as information (the inverse of covariances); events are picked in each by
 * itself. Of one camera it is `expectedPrecision` to some per cent.
 *
 * @returns half-widths of 95 % intervals; metres, radians
 * @see Gauss-Markov: the least variance of all linear estimates; the core's `Conditioning` gives the same of a filmed trial
 */
export function expectedTogether(seen: readonly Seeing[]): Expected {
  const ice = placeOf(seen, ON_ICE);
  const marks = FITTED * Math.sqrt(ice.across);
  const event = 1 / Math.sqrt(seen.reduce((sum, { plan }) => sum + eventSd(plan.fps) ** -2, 0));
  const lift = Math.min(
    ...seen.map(({ plan, at }) => ((60 / plan.fps) * at.distance * Math.sin(at.angle)) / plan.height),
  );
  const atEvent = (speed: number, raised: number) =>
    Math.hypot(Math.sqrt(0.75) * marks, Math.sqrt(1.5) * speed * event, raised * lift);
  // Mid-hip is the middle of two marks, the blade of two ends; of the blade half counts that the neighbours smooth away.
  const [hip, blade] = [placeOf(seen, HIP), placeOf(seen, IN_THE_AIR)];
  const beyond = Math.sqrt(Math.max(0, hip.across - ice.across) + Math.max(0, blade.across - ice.across));
  const arms = (inPicture: (angle: number) => number) =>
    armSwingOf(seen.map(({ perRay, at }) => ({ perRay, inPicture: inPicture(at.angle) })));
  return {
    strideWidth: K95 * atEvent(OFF_ACROSS, LIFT_WIDTH),
    touchdown: K95 * atEvent(ON_ACROSS, LIFT_TOUCHDOWN),
    recovery: K95 * Math.hypot(Math.sqrt(0.62) * marks, RECOVERY_REST, beyond),
    strideLength: K95 * Math.hypot(FITTED * Math.sqrt(ice.along), Math.SQRT2 * ALONG * event),
    armForeAft: K95 * arms(Math.sin),
    armAcross: K95 * arms(Math.cos),
  };
}

/** Variances of a point along and across the lane, m², by all rays and what is known. */
function placeOf(seen: readonly Seeing[], { z, zU, alongU }: Known): { along: number; across: number } {
  const information = [alongU ** -2, 0, 0, 0, 0, 0, 0, 0, zU ** -2];
  for (const { plan, perRay, at } of seen) {
    const ray = [at.x - plan.x, -plan.y, z - plan.height] as const;
    const length2 = ray[0] ** 2 + ray[1] ** 2 + ray[2] ** 2;
    // Nothing along the ray, the same in all directions across it.
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++)
        information[3 * i + j]! += ((i === j ? 1 : 0) - (ray[i]! * ray[j]!) / length2) / perRay ** 2;
  }
  const factor = choleskyFactor(information, 3);
  const variance = (of: 0 | 1): number => {
    if (!factor) return Number.POSITIVE_INFINITY;
    const unit = [0, 0, 0];
    unit[of] = 1;
    solveFactored(factor, unit);
    return unit[of]!;
  };
  return { along: variance(0), across: variance(1) };
}

/** A place of the lane as each camera and both show it. */
export interface AtPointOfTwo {
  readonly x: number;
  readonly one: AtPoint;
  readonly two: AtPoint;
  /** What both together give; null where not both see the skater. */
  readonly both: Expected | null;
}

/**
 * What a second camera is worth along the zone.
 *
 * @throws {MeasureError} `bad-camera-plan`
 */
export function alongZoneOfTwo(
  plans: readonly [CameraPlan, CameraPlan],
  zone: readonly [number, number],
  markSdPx: number,
  count: number,
): readonly AtPointOfTwo[] {
  const [ones, twos] = plans.map((plan) => alongZone(plan, zone, markSdPx, count));
  const focal = plans.map((plan) => plannedCamera(plan).focalPx);
  return ones!.map((one, i) => {
    const two = twos![i]!;
    const seen = [one, two].map((at, k): Seeing => {
      const plan = plans[k]!;
      return { plan, at, perRay: (markSdPx / focal[k]!) * Math.hypot(at.distance, plan.height) };
    });
    return {
      x: one.x,
      one,
      two,
      both: one.seen && two.seen ? neverWorse(expectedTogether(seen), one, two) : null,
    };
  });
}

/** Nobody has to use the second camera: what one alone gives is given. */
function neverWorse(both: Expected, one: AtPoint, two: AtPoint): Expected {
  const least = (quantity: PlannedQuantity) =>
    Math.min(both[quantity], one.expected[quantity], two.expected[quantity]);
  return Object.fromEntries(PLANNED.map((quantity) => [quantity, least(quantity)])) as unknown as Expected;
}

export interface WorthOfSecond {
  readonly quantity: PlannedQuantity;
  /** In the middle of where both see the skater; u95 of the better camera alone, null = refused there; of both, null = too wide. */
  readonly alone: number | null;
  readonly both: number | null;
}

/** What the second camera is worth in the middle of where both see the skater; null where they never do. */
export function worthOfSecond(
  points: readonly AtPointOfTwo[],
): { readonly x: number; readonly of: readonly WorthOfSecond[] } | null {
  const seen = points.filter((p) => p.both !== null);
  const middle = seen[Math.floor(seen.length / 2)];
  if (!middle?.both) return null;
  const { one, two, both } = middle;
  const of = PLANNED.map((quantity): WorthOfSecond => {
    const alone = [one, two].flatMap((at) =>
      refusalAt(at, quantity) === null ? [at.expected[quantity]] : [],
    );
    const best = alone.length === 0 ? null : Math.min(...alone);
    const joint = both[quantity] <= MOST[quantity] ? both[quantity] : null;
    return { quantity, alone: best, both: joint };
  });
  return { x: middle.x, of };
}
