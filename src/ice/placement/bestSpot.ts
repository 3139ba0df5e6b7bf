import type { CameraPlan } from "../../study/types.ts";
import { alongZone, MOST, type PlannedQuantity, refusalAt } from "./alongZone.ts";

/** What a camera is set up for. */
export type Goal = "width" | "arms-and-length";

const WANTED: Readonly<Record<Goal, readonly PlannedQuantity[]>> = {
  width: ["strideWidth", "touchdown", "recovery"],
  "arms-and-length": ["strideLength", "armForeAft"],
};

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
 * The place on the ice or beside it, for this height and lens, from which most of the zone gives what is wanted;
 * among those the one with the smallest worst uncertainty. Never on the lane nor in its run-out. Both sides of the
 * lane are alike; the answer is on the skater's right.
 *
 * @param lane length, metres
 */
export function bestSpot(
  plan: CameraPlan,
  zone: readonly [number, number],
  lane: number,
  markSdPx: number,
  goal: Goal,
): Spot {
  let best: Spot | null = null;
  for (let x = Math.round(-BEYOND); x <= lane + RUN_OUT + BEYOND; x += STEP) {
    for (let y = -BESIDE; y <= 0; y += STEP) {
      if (!mayStand(x, y, lane)) continue;
      for (const aimX of aims(zone)) {
        if (Math.hypot(aimX - x, y) < 1) continue;
        const spot = judge({ ...plan, x, y, aimX, aimY: 0 }, zone, markSdPx, goal);
        if (!best || better(spot, best)) best = spot;
      }
    }
  }
  return best as Spot;
}

/** A tripod stands outside the lane, before the start or beyond the run-out. */
export function mayStand(x: number, y: number, lane: number): boolean {
  return Math.abs(y) >= ASIDE || x <= -ASIDE || x >= lane + RUN_OUT;
}

function aims(zone: readonly [number, number]): readonly number[] {
  return [0.25, 0.5, 0.75].map((share) => zone[0] + (zone[1] - zone[0]) * share);
}

function judge(plan: CameraPlan, zone: readonly [number, number], markSdPx: number, goal: Goal): Spot {
  const points = alongZone(plan, zone, markSdPx, POINTS);
  const good = points.filter((point) =>
    WANTED[goal].every((quantity) => refusalAt(point, quantity) === null),
  );
  const worst = Math.max(
    ...good.flatMap((point) => WANTED[goal].map((quantity) => point.expected[quantity] / MOST[quantity])),
  );
  return { x: plan.x, y: plan.y, aimX: plan.aimX, share: good.length / points.length, worst };
}

function better(a: Spot, b: Spot): boolean {
  return a.share > b.share || (a.share === b.share && a.worst < b.worst);
}
