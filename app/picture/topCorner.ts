import type { Size } from "./view.ts";

export type Corner = "left" | "right";

export interface Spot {
  readonly x: number;
  readonly y: number;
}

/** What the magnifier and its words cover, with some room for the hand, CSS px. */
const MAGNIFIER = { width: 210, height: 230 } as const;

const opposite = (corner: Corner): Corner => (corner === "left" ? "right" : "left");

/** Does `spot` lie where the magnifier is shown, in this top corner of the stage? */
export function underMagnifier(corner: Corner, stage: Size, { x, y }: Spot): boolean {
  const inwards = corner === "left" ? x : stage.width - x;
  return inwards < MAGNIFIER.width && y < MAGNIFIER.height;
}

/** The top corner for the magnifier: where it is, unless the hand has come there. */
export function freeCorner(now: Corner, stage: Size, hand: Spot): Corner {
  return underMagnifier(now, stage, hand) ? opposite(now) : now;
}
