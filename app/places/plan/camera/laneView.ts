import { MOST, type PlannedQuantity } from "../../../../src/ice/placement/alongZone.ts";
import type { CameraPlan } from "../../../../src/study/types.ts";

/** The lane lying from left to right: x along the lane goes right, y to the skater's left goes up. */
export interface LaneView {
  readonly pxPerM: number;
  /** Ice x at the left edge and ice y at the top, metres. */
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
  readonly height: number;
}

/** Ice shown beyond the lane's start, beyond its run-out, and to each side, metres. */
const BEFORE = 20;
const BEYOND = 12;
const BESIDE = 16;
export const RUN_OUT_DRAWN = 15;

export function laneView(lane: number, width: number): LaneView {
  const pxPerM = width / (BEFORE + lane + RUN_OUT_DRAWN + BEYOND);
  return { pxPerM, x0: -BEFORE, y0: BESIDE, width, height: 2 * BESIDE * pxPerM };
}

export function onDrawing(view: LaneView, x: number, y: number): { readonly x: number; readonly y: number } {
  return { x: (x - view.x0) * view.pxPerM, y: (view.y0 - y) * view.pxPerM };
}

/** The ice point under a place of the drawing, to a tenth of a metre, kept inside what is drawn. */
export function onIce(view: LaneView, px: number, py: number): { readonly x: number; readonly y: number } {
  const tenth = (value: number) => Math.round(10 * value) / 10;
  const within = (value: number, least: number, most: number) => Math.min(most, Math.max(least, value));
  return {
    x: tenth(within(view.x0 + px / view.pxPerM, view.x0, view.x0 + view.width / view.pxPerM)),
    y: tenth(within(view.y0 - py / view.pxPerM, view.y0 - view.height / view.pxPerM, view.y0)),
  };
}

/** A camera to begin with: behind the start, as high as a tripod on a stand, an ordinary lens. */
export function firstPlan(lane: number): CameraPlan {
  return {
    x: -8,
    y: 0,
    height: 3,
    aimX: lane / 4,
    aimY: 0,
    hfovDeg: 40,
    widthPx: 1920,
    heightPx: 1080,
    fps: 60,
  };
}

/** By how much of the widest u95 that is still shown an expected one uses up. */
export const GRADES = [
  { grade: "good", upTo: 0.25 },
  { grade: "fair", upTo: 0.5 },
  { grade: "rough", upTo: 1 },
] as const;

export type Grade = (typeof GRADES)[number]["grade"];

export function gradeOf(u95: number, quantity: PlannedQuantity): Grade {
  return GRADES.find(({ upTo }) => u95 <= upTo * MOST[quantity])?.grade ?? "rough";
}
