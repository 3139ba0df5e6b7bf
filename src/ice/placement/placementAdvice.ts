import type { CameraPlan } from "../../study/types.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import { type AtPoint, alongZone } from "./alongZone.ts";
import { bestSpots, GOALS, type Goal, mayStand, RUN_OUT, type Spot } from "./bestSpot.ts";
import { suggestingFrom } from "./suggestingFrom.ts";

/** Off the lane's axis by more than this, height is what counts. */
const OFF_AXIS = (20 * Math.PI) / 180;
/** As high as a stand, a gantry or the wall of a rink usually lets a camera go, metres. [common practice, no source] */
const HIGH = 6;
const POINTS = 13;

/** What a coach should know of this placement, most pressing first. Lengths in metres. */
export function placementAdvice(
  plan: CameraPlan,
  zone: readonly [number, number],
  lane: number,
  markSdPx: number,
): readonly string[] {
  const points = alongZone(plan, zone, markSdPx, POINTS);
  const best = bestSpots(plan, zone, lane, markSdPx);
  return [
    ...standing(plan, lane),
    ...seeing(points),
    ...height(plan, zone, markSdPx, points),
    ...GOALS.map((goal) => spotWords(plan, zone, best[goal], goal)),
    ...suggestingFrom(plan, zone),
  ];
}

function standing(plan: CameraPlan, lane: number): readonly string[] {
  if (mayStand(plan.x, plan.y, lane)) return [];
  return [
    `This spot is on the lane or in its ${RUN_OUT} m of run-out, where nobody and nothing may stand. Behind the boards is another matter.`,
  ];
}

function seeing(points: readonly AtPoint[]): readonly string[] {
  const seen = points.filter((point) => point.seen);
  const [first, last] = [seen[0], seen.at(-1)];
  if (!first || !last) {
    return [
      "Nowhere in the zone is the skater wholly in the picture. Turn the camera, move it back or take a wider lens.",
    ];
  }
  if (seen.length === points.length) return [];
  return [
    `The skater is wholly in the picture from about ${formatNumber(first.x, 0)} to ${formatNumber(last.x, 0)} m of the lane only.`,
  ];
}

/** Off the axis go as high as possible. */
function height(
  plan: CameraPlan,
  zone: readonly [number, number],
  markSdPx: number,
  points: readonly AtPoint[],
): readonly string[] {
  const middle = points[(points.length - 1) / 2] as AtPoint;
  if (middle.angle < OFF_AXIS || plan.height >= HIGH) return [];
  const higher = alongZone({ ...plan, height: HIGH }, zone, markSdPx, POINTS)[(POINTS - 1) / 2] as AtPoint;
  return [
    `Off the lane's axis height counts most: from here a stride's width is measured to about ± ${cm(middle.expected.strideWidth)}, from ${HIGH} m up to ± ${cm(higher.expected.strideWidth)}.`,
  ];
}

function spotWords(plan: CameraPlan, zone: readonly [number, number], spot: Spot, goal: Goal): string {
  const what =
    goal === "width" ? "For stride width and recovery" : "For stride length and arms along the lane";
  if (spot.share === 0) {
    return `${what} no spot would do with this lens and height: take another lens or stand higher.`;
  }
  const share = spot.share === 1 ? "the whole zone" : `about ${Math.round(100 * spot.share)} % of the zone`;
  return `${what} the best spot at ${formatNumber(plan.height, 1)} m up with this lens is ${placeWords(spot, zone)}: it serves ${share}.`;
}

function placeWords(spot: Spot, zone: readonly [number, number]): string {
  const aside = spot.y === 0 ? "on the lane's axis" : `${Math.abs(spot.y)} m to either side of it`;
  if (spot.x < zone[0]) return `${formatNumber(-spot.x, 0)} m before the start line, ${aside}`;
  return `${formatNumber(spot.x, 0)} m from the start line, ${aside}`;
}

function cm(metres: number): string {
  return `${Number((100 * metres).toPrecision(2))} cm`;
}
