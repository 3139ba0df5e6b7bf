import type { Size } from "./view.ts";

export type Corner = "left" | "right";

export interface Spot {
  readonly x: number;
  readonly y: number;
}

/** From the picture's edge to a card in its corner, CSS px. */
const EDGE = 14;
/** As near to a card as this a point cannot be pressed well, CSS px. */
const REACH = 12;
/** What the magnifier and its words cover, with some room for the hand, CSS px. */
const MAGNIFIER = { width: 210, height: 230 } as const;

export const opposite = (corner: Corner): Corner => (corner === "left" ? "right" : "left");

/** Does `spot` lie where the magnifier is shown, in this top corner of the stage? */
export function underMagnifier(corner: Corner, stage: Size, { x, y }: Spot): boolean {
  const inwards = corner === "left" ? x : stage.width - x;
  return inwards < MAGNIFIER.width && y < MAGNIFIER.height;
}

/**
 * The top corner where a card lies over fewer of the spots that matter; where both are alike it stays where it is.
 *
 * @param card its width and height, CSS px as all else
 */
export function freerCorner(now: Corner, card: Size, stage: Size, spots: readonly Spot[]): Corner {
  const under = (corner: Corner) =>
    spots.filter(({ x, y }) => {
      const inwards = corner === "left" ? x : stage.width - x;
      return inwards > EDGE - REACH && inwards < EDGE + card.width + REACH && y < EDGE + card.height + REACH;
    }).length;
  return under(opposite(now)) < under(now) ? opposite(now) : now;
}
