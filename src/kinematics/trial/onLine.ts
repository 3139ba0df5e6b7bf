import type { UncertainPlace } from "../../ice/camera/ground.ts";
import { calculation, linear, type Uncertain } from "../../uncertainty/uncertain.ts";
import { alongLine, distance, leftOfLine } from "./across.ts";

/** A direction on the ice: from one place to another. */
export interface Direction {
  readonly from: UncertainPlace;
  readonly to: UncertainPlace;
}

/** How far `place` lies to the left of `origin`, across the direction, metres. */
export function leftward(direction: Direction, origin: UncertainPlace, place: UncertainPlace): Uncertain {
  return component(direction, origin, place, LEFTWARD);
}

/** How far `place` lies beyond `origin` along the direction, metres. */
export function onward(direction: Direction, origin: UncertainPlace, place: UncertainPlace): Uncertain {
  return component(direction, origin, place, ONWARD);
}

/** The direction's two places, the origin and the place, coordinate by coordinate as `calculation` takes them. */
type Numbers = readonly number[];

const LEFTWARD = ([ax, ay, bx, by, ox, oy, x, y]: Numbers) =>
  leftOfLine([ox!, oy!], [ox! + bx! - ax!, oy! + by! - ay!], [x!, y!]);
const ONWARD = ([ax, ay, bx, by, ox, oy, x, y]: Numbers) =>
  alongLine([ox!, oy!], [ox! + bx! - ax!, oy! + by! - ay!], [x!, y!]);

/** With t the unit vector of the direction and n the one to its left: n·(place − origin), or t·(place − origin). */
function component(
  { from, to }: Direction,
  origin: UncertainPlace,
  place: UncertainPlace,
  which: typeof LEFTWARD,
): Uncertain {
  const dx = to.x.value - from.x.value;
  const dy = to.y.value - from.y.value;
  const length = distance(dx, dy);
  const tx = dx / length;
  const ty = dy / length;
  const ex = place.x.value - origin.x.value;
  const ey = place.y.value - origin.y.value;
  const along = tx * ex + ty * ey;
  const left = tx * ey - ty * ex;
  const isLeft = which === LEFTWARD;
  const x = isLeft ? -ty : tx;
  const y = isLeft ? tx : ty;
  // As the direction turns to the left, the place falls behind to the right of it, and what lay left comes ahead.
  const turn = (isLeft ? -along : left) / length;
  const turnX = -ty * turn;
  const turnY = tx * turn;
  const inputs = [from.x, from.y, to.x, to.y, origin.x, origin.y, place.x, place.y];
  const slopes = [-turnX, -turnY, turnX, turnY, -x, -y, x, y];
  return linear(isLeft ? left : along, inputs, slopes, calculation(which, inputs));
}
