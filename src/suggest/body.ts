import type { PointName, Side } from "../study/types.ts";
import type { Square } from "./pixels.ts";

/** The seventeen points of the pose model, in its order (COCO keypoints). */
export const BODY_POINTS = [
  "nose",
  "left_eye",
  "right_eye",
  "left_ear",
  "right_ear",
  "left_shoulder",
  "right_shoulder",
  "left_elbow",
  "right_elbow",
  "left_wrist",
  "right_wrist",
  "left_hip",
  "right_hip",
  "left_knee",
  "right_knee",
  "left_ankle",
  "right_ankle",
] as const;

export type BodyPoint = (typeof BODY_POINTS)[number];

export interface SeenPoint {
  readonly x: number;
  readonly y: number;
  /** 0 to 1, the model's own; no probability. */
  readonly score: number;
}

/** Where the pose model sees a body in one frame, px of the picture; points in the order of `BODY_POINTS`. */
export interface Body {
  readonly frame: number;
  readonly points: readonly SeenPoint[];
  /** The square that was looked at. */
  readonly square: Square;
}

const index = (name: BodyPoint) => BODY_POINTS.indexOf(name);

export function seen(body: Body, name: BodyPoint): SeenPoint {
  return body.points[index(name)] as SeenPoint;
}

/** The body's point nearest to what people mark: for a blade the ankle above it. */
export function nearestBodyPoint(point: PointName, side: Side): BodyPoint {
  return point === "blade_heel" || point === "blade_toe" ? `${side}_ankle` : `${side}_${point}`;
}

export function midHip(body: Body): { x: number; y: number } {
  const [l, r] = [seen(body, "left_hip"), seen(body, "right_hip")];
  return { x: (l.x + r.x) / 2, y: (l.y + r.y) / 2 };
}

/** Below this score a point counts as not seen. [judgement: the model's authors use 0.2 to 0.3 for drawing] */
export const SEEN_FROM = 0.2;

/** How large the body is in the picture, px: the root mean square distance of its limbs and trunk from mid-hip. */
export function sizeOf(body: Body): number {
  const hip = midHip(body);
  const used = body.points.slice(5);
  const square = used.reduce((sum, p) => sum + (p.x - hip.x) ** 2 + (p.y - hip.y) ** 2, 0);
  return Math.sqrt(square / used.length);
}
