import type { CameraPlan } from "../../study/types.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import { project } from "../camera/camera.ts";
import { plannedCamera, seesSkater } from "./cameraPlan.ts";

/** The suggester's own limit, in body sizes across the picture a cycle: beyond it a clip is filmed from beside. */
export const BESIDE_FROM = 4;
/** Along the lane from one blade-off of a side to its next at a sprint, metres: 8 m/s, two thirds of a second. [common practice, no source] */
const CYCLE = 5.3;
/** Mid-hip above the ice, a skater's height, and the size limbs spread about mid-hip, metres. [common practice, no source; the last as the pose model has it on renders] */
const HIP = 0.78;
const TALL = 1.7;
const SPREAD = 0.55;
/** Suggestions were tried on skaters down to this height in the picture, px. [docs/suggested-marks.md] */
const TRIED_DOWN_TO = 150;
const STEPS = 30;

/** Whether marks can be suggested on clips filmed from here, and where along the zone, in a sentence. */
export function suggestingFrom(plan: CameraPlan, zone: readonly [number, number]): readonly string[] {
  const camera = plannedCamera(plan);
  const along = Array.from({ length: STEPS + 1 }, (_, k) => zone[0] + (k / STEPS) * (zone[1] - zone[0]));
  const seen = along.filter((x) => seesSkater(camera, plan, x));
  if (seen.length === 0) return [];
  const size = (x: number) => {
    const [u, v, depth] = project(camera, x, 0, HIP);
    return { u, v, px: camera.focalPx / depth };
  };
  const isBeside = (x: number) => {
    const [from, to] = [size(x - CYCLE / 2), size(x + CYCLE / 2)];
    const across = Math.hypot(to.u - from.u, to.v - from.v);
    return across > BESIDE_FROM * SPREAD * size(x).px;
  };
  const head = seen.filter((x) => !isBeside(x));
  if (head.length === 0)
    return [
      "Suggested marks: from beside the lane no blades are suggested, so all blades are marked by hand; events and joints can be.",
    ];
  const good = head.filter((x) => size(x).px * TALL >= TRIED_DOWN_TO);
  const [first, last] = [good[0], good.at(-1)];
  if (first === undefined || last === undefined)
    return [
      `Suggested marks: the skater is less than ${TRIED_DOWN_TO} px tall in the picture from here, smaller than they were ever tried on. Expect to mark by hand.`,
    ];
  if (good.length === along.length)
    return [
      "Suggested marks: they can be had in the whole zone from here, once two strides a side are marked.",
    ];
  return [
    `Suggested marks: they can be had from about ${formatNumber(first, 0)} to ${formatNumber(last, 0)} m of the lane from here; elsewhere the skater is too small, partly outside the picture or seen from beside.`,
  ];
}
