import type { Lens } from "../../study/types.ts";
import { type LensFrame, undistort } from "./lens.ts";

/** A picture point on the other side of the lens, in focal lengths from the optical axis, and what moves it. */
export interface LensSlopes {
  readonly x: number;
  readonly y: number;
  /** Change for a change of the point on this side by one focal length: ∂x/∂x, ∂x/∂y = ∂y/∂x, ∂y/∂y. */
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
  /** Change for a change of k1, and of k2. */
  readonly byK1: readonly [x: number, y: number];
  readonly byK2: readonly [x: number, y: number];
}

/** `distort` with its derivatives, of a point (x, y) in focal lengths from the optical axis. */
export function withLensTerms(lens: Lens, x: number, y: number): LensSlopes {
  const k2 = lens.k2 ?? 0;
  const r2 = x * x + y * y;
  const g = 1 + lens.k1 * r2 + k2 * r2 * r2;
  const growth = 2 * (lens.k1 + 2 * k2 * r2);
  const byK1 = [x * r2, y * r2] as const;
  return {
    x: x * g,
    y: y * g,
    xx: g + growth * x * x,
    xy: growth * x * y,
    yy: g + growth * y * y,
    byK1,
    byK2: [byK1[0] * r2, byK1[1] * r2],
  };
}

/**
 * The inverse of `distort` with its derivatives. Seen is p · g(|p|²), whose matrix of derivatives is g I + 2 g′ p pᵀ;
 * its inverse has the same form.
 */
export function straightened(lens: Lens, frame: LensFrame, u: number, v: number): LensSlopes {
  const [su, sv] = undistort(lens, frame, u, v);
  const x = (su - frame.cx) / frame.focalPx;
  const y = (sv - frame.cy) / frame.focalPx;
  const k2 = lens.k2 ?? 0;
  const r2 = x * x + y * y;
  const g = 1 + lens.k1 * r2 + k2 * r2 * r2;
  const growth = lens.k1 + 2 * k2 * r2;
  const back = (2 * growth) / (g * (g + 2 * growth * r2));
  const [xx, xy, yy] = [1 / g - back * x * x, -back * x * y, 1 / g - back * y * y];
  // A coefficient moves the seen point along p, by r² or r⁴ of it.
  const [px, py] = [-(xx * x + xy * y) * r2, -(xy * x + yy * y) * r2];
  return { x, y, xx, xy, yy, byK1: [px, py], byK2: [px * r2, py * r2] };
}
