import { MeasureError } from "../../errors.ts";
import type { LanePlacement } from "../../study/types.ts";
import type { FlatPoint } from "../points/hull.ts";
import { RINK_CODES } from "./rinkCodes.ts";
import { type RinkPoint, rinkPoints } from "./rinkPoints.ts";

export type { RinkLine } from "./rinkLines.ts";
export { rinkLines } from "./rinkLines.ts";
export type { RinkPoint } from "./rinkPoints.ts";

/** A kind of rink and the markings on it that can serve as ice points. */
export interface Rink {
  readonly key: string;
  readonly name: string;
  /** Metres, board to board. */
  readonly length: number;
  readonly width: number;
  readonly points: readonly RinkPoint[];
}

export const RINKS: readonly Rink[] = RINK_CODES.map((code) => ({
  key: code.key,
  name: code.name,
  length: code.length,
  width: code.width,
  points: rinkPoints(code),
}));

/** @throws {MeasureError} `unknown-rink` */
export function rinkByKey(key: string): Rink {
  const rink = RINKS.find((r) => r.key === key);
  if (rink) return rink;
  const known = RINKS.map((r) => r.key).join(", ");
  throw new MeasureError(
    "unknown-rink",
    `rinkByKey requires one of ${known}; got ${key}`,
    `There is no rink called "${key}". Known are: ${known}.`,
    { key },
  );
}

/** Rink coordinates to the lane's ice frame: x from the start line towards the finish, y to the skater's left; metres. */
export function toLane(point: FlatPoint, placement: LanePlacement): FlatPoint {
  const [c, s] = turn(placement);
  const [dx, dy] = [point.x - placement.startX, point.y - placement.startY];
  return { x: c * dx + s * dy, y: -s * dx + c * dy };
}

/** The lane's ice frame back to rink coordinates. */
export function toRink(point: FlatPoint, placement: LanePlacement): FlatPoint {
  const [c, s] = turn(placement);
  return {
    x: placement.startX + c * point.x - s * point.y,
    y: placement.startY + s * point.x + c * point.y,
  };
}

function turn({ headingDeg }: LanePlacement): readonly [number, number] {
  const heading = (headingDeg * Math.PI) / 180;
  return [Math.cos(heading), Math.sin(heading)];
}
