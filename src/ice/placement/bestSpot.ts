import type { CameraPlan } from "../../study/types.ts";
import {
  type AtPoint,
  expectedAt,
  MOST,
  type PlannedQuantity,
  placesAlong,
  refusalInPicture,
} from "./alongZone.ts";
import { plannedCamera, seesSkater } from "./cameraPlan.ts";

/** What a camera is set up for. */
export type Goal = "width" | "arms-and-length";

const WANTED: Readonly<Record<Goal, readonly PlannedQuantity[]>> = {
  width: ["strideWidth", "touchdown", "recovery"],
  "arms-and-length": ["strideLength", "armForeAft"],
};

export const GOALS = ["width", "arms-and-length"] as const satisfies readonly Goal[];

/** Clear ice beyond the finish in which nothing stands (`CAUTIONS`), and to each side of the lane, metres. */
export const RUN_OUT = 15;
const ASIDE = 3;
/** How far from the lane's ends and from its middle a camera is looked for, metres. */
const BEYOND = 25;
const BESIDE = 15;
const STEP = 1;
const POINTS = 7;

export interface Spot {
  readonly x: number;
  readonly y: number;
  readonly aimX: number;
  /** Share of the zone, 0 … 1, in which everything wanted can be measured. */
  readonly share: number;
  /** u95 over the widest allowed, at its worst of what can be measured. */
  readonly worst: number;
}

/**
 * For each goal the place on the ice or beside it, for this height and lens, from which most of the zone gives what is
 * wanted; among those the one with the smallest worst uncertainty. Never on the lane nor in its run-out. Both sides of the
 * lane are alike; the answer is on the skater's right.
 *
 * @param lane length, metres
 */
export function bestSpots(
  plan: CameraPlan,
  zone: readonly [number, number],
  lane: number,
  markSdPx: number,
): Readonly<Record<Goal, Spot>> {
  const along = placesAlong(zone, POINTS);
  const best: Partial<Record<Goal, Spot>> = {};
  for (let x = Math.round(-BEYOND); x <= lane + RUN_OUT + BEYOND; x += STEP) {
    for (let y = -BESIDE; y <= 0; y += STEP) {
      if (!mayStand(x, y, lane)) continue;
      const aimed = aims(zone).filter((aimX) => Math.hypot(aimX - x, y) >= 1);
      if (aimed.length === 0) continue;
      const plans = aimed.map((aimX) => ({ ...plan, x, y, aimX, aimY: 0 }));
      const cameras = plans.map(plannedCamera);
      // Wherever the camera looks, a place that is in the picture gives the same.
      const points = along.map((at) => expectedAt(cameras[0]!, plan.fps, markSdPx, at));
      for (const goal of GOALS) {
        const given = points.map((point) => givenAt(point, goal));
        plans.forEach((from, k) => {
          const spot = judge(from, given, (i) => seesSkater(cameras[k]!, from, along[i]!));
          if (!best[goal] || better(spot, best[goal])) best[goal] = spot;
        });
      }
    }
  }
  return best as Record<Goal, Spot>;
}

/** u95 over the widest allowed of the worst of what is wanted; null where some of it can't be measured there. */
function givenAt(point: Omit<AtPoint, "seen">, goal: Goal): number | null {
  let worst = 0;
  for (const quantity of WANTED[goal]) {
    if (refusalInPicture(point, quantity) !== null) return null;
    worst = Math.max(worst, point.expected[quantity] / MOST[quantity]);
  }
  return worst;
}

/** A tripod stands outside the lane, before the start or beyond the run-out. */
export function mayStand(x: number, y: number, lane: number): boolean {
  return Math.abs(y) >= ASIDE || x <= -ASIDE || x >= lane + RUN_OUT;
}

function aims(zone: readonly [number, number]): readonly number[] {
  return [0.25, 0.5, 0.75].map((share) => zone[0] + (zone[1] - zone[0]) * share);
}

function judge(
  { x, y, aimX }: CameraPlan,
  given: readonly (number | null)[],
  isSeen: (i: number) => boolean,
): Spot {
  let [good, worst] = [0, Number.NEGATIVE_INFINITY];
  given.forEach((share, i) => {
    if (share === null || !isSeen(i)) return;
    good += 1;
    worst = Math.max(worst, share);
  });
  return { x, y, aimX, share: good / given.length, worst };
}

function better(a: Spot, b: Spot): boolean {
  return a.share > b.share || (a.share === b.share && a.worst < b.worst);
}
