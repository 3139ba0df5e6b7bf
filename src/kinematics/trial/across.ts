import type { Side } from "../../study/types.ts";

/** +1 for the left (y positive), -1 for the right: outward = sign × leftward. */
export function sideSign(side: Side): 1 | -1 {
  return side === "left" ? 1 : -1;
}

export function otherSide(side: Side): Side {
  return side === "left" ? "right" : "left";
}

/** On the ice, metres. */
type Point = readonly [x: number, y: number];

/** How far (x, y) lies to the left of the straight line from a through b, metres. */
export function leftOfLine([ax, ay]: Point, [bx, by]: Point, [x, y]: Point): number {
  return ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / distance(bx - ax, by - ay);
}

/** How far (x, y) lies beyond a in the direction from a to b. */
export function alongLine([ax, ay]: Point, [bx, by]: Point, [x, y]: Point): number {
  return ((bx - ax) * (x - ax) + (by - ay) * (y - ay)) / distance(bx - ax, by - ay);
}

/** Math.hypot guards against sizes that no lane has, at ten times the price; this runs thousands of times a trial. */
export function distance(dx: number, dy: number): number {
  return Math.sqrt(dx * dx + dy * dy);
}
