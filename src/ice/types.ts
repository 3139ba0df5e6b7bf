import type { ScaleSummary } from "../kinematics/types.ts";

export interface PicturePoint {
  readonly xPx: number;
  readonly yPx: number;
}

/** How one ice point disagrees with the fit. */
export interface IceResidual {
  readonly label: string;
  /** Where the camera moves: the frame it is marked on. */
  readonly frame?: number;
  readonly dxPx: number;
  readonly dyPx: number;
  /** The same disagreement on the ice, metres. */
  readonly distance: number;
  /** The part of it across the lane (along y), metres, without sign. */
  readonly across: number;
}

/**
 * A fitted ice reference: picture to ice and back.
 * What `fitScale` (src/ice/fitScale.ts) returns; it throws MeasureError where the reference is refused.
 */
export interface Scale {
  readonly summary: ScaleSummary;
  readonly residuals: readonly IceResidual[];
  /** Outline of the reference on the ice (convex hull), metres; empty for known lengths. */
  readonly hull: readonly { readonly x: number; readonly y: number }[];
  /**
   * The point of the ice seen at a picture point; null above the horizon or where this kind of scale has no
   * such answer (known lengths). Only for points that ARE on the ice. Where the camera moves it needs the frame,
   * and is null in a frame without ice points.
   */
  toIce(p: PicturePoint, frame?: number): { readonly x: number; readonly y: number } | null;
  /** Where a point at (x, y, z) metres is seen; null behind the camera, or z > 0 without a camera. */
  toPicture(x: number, y: number, z?: number, frame?: number): PicturePoint | null;
}
