import { MeasureError } from "../../errors.ts";
import type { IcePoint, Lens, Picture } from "../../study/types.ts";
import { reach } from "./lens.ts";

/** A lens is used a little farther out than the ice points lie. [judgement] */
const MARGIN = 1.1;

/**
 * How far from the picture's middle a lens is used, px: as far as the ice points reach, and a little more. A polynomial
 * that fits them may fold beyond, in a corner where nothing is marked.
 */
export function usedRadius(points: readonly IcePoint[], { width, height }: Picture): number {
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
  const farthest = Math.max(...points.map((p) => Math.hypot(p.xPx - cx, p.yPx - cy)));
  return MARGIN * farthest;
}

/** `usedRadius` where there are no points yet, in focal lengths: only what no ordinary lens can be folds a picture so narrow. */
export function narrowCorner({ width, height }: Picture): number {
  return Math.hypot(width, height) / 2 / (1.5 * Math.max(width, height));
}

/**
 * @param seen how far out it is used, in focal lengths
 * @throws {MeasureError} `bad-lens` unless it shows every place so far out once
 */
export function checkLens(lens: Lens, seen: number): void {
  const numbers = [lens.k1, lens.k2 ?? 0];
  if (numbers.every(Number.isFinite) && reach(lens) > seen) return;
  throw new MeasureError(
    "bad-lens",
    `fitScale requires lens coefficients that keep the picture one to one; k1, k2 = ${numbers.join(", ")}`,
    `The lens coefficients ${numbers.join(", ")} would fold the outer parts of the picture onto its inside, so they can't be right. Check their signs, and that they belong to coordinates in focal lengths.`,
    { k1: lens.k1, k2: lens.k2 },
  );
}
