import type { Stride } from "../../kinematics/types.ts";
import { mean } from "../../statistics/mean.ts";

interface Point {
  readonly x: number;
  readonly y: number;
}

/**
 * Where one blade goes around its blade-off, metres: x along the travel from blade-off, y from the midline towards the
 * blade's own side. Null: not measured.
 */
export interface StridePlaces {
  readonly off: Point;
  /** In the air, nearest the midline. */
  readonly nearest: Point | null;
  readonly on: Point | null;
  readonly nextOff: Point | null;
}

/**
 * The places of every stride whose blade-off lies between two of the other blade, laid over each other: the travel is the
 * line through those two, the midline half-way between it and the blade-off.
 *
 * @param strides of one trial, in order of blade-off
 */
export function stridePlaces(strides: readonly Stride[], side: Stride["side"]): StridePlaces[] {
  return strides.flatMap((stride, k): StridePlaces[] => {
    const [before, after, next] = [strides[k - 1], strides[k + 1], strides[k + 2]];
    if (stride.side !== side || !stride.off || !before?.off || !after?.off) return [];
    if (before.side === side || after.side === side) return [];
    const length = Math.hypot(after.off.x - before.off.x, after.off.y - before.off.y);
    if (length === 0) return [];
    const [ux, uy] = [(after.off.x - before.off.x) / length, (after.off.y - before.off.y) / length];
    const own = side === "left" ? 1 : -1;
    const { off } = stride;
    const laid = ({ x, y }: Point): Point => ({
      x: (x - off.x) * ux + (y - off.y) * uy,
      y: own * ((y - off.y) * ux - (x - off.x) * uy),
    });
    const half = -laid(before.off).y / 2;
    const placed = (p: Point | null | undefined) => {
      if (!p) return null;
      const { x, y } = laid(p);
      return { x, y: y + half };
    };
    return [
      {
        off: { x: 0, y: half },
        nearest: placed(stride.recovery?.blade),
        on: placed(stride.on),
        nextOff: placed(next?.side === side ? next.off : null),
      },
    ];
  });
}

/** The mean of each place over those that have it; null where there is none. */
export function meanPlaces(of: readonly StridePlaces[]): StridePlaces | null {
  if (of.length === 0) return null;
  const middle = (points: readonly (Point | null)[]): Point | null => {
    const had = points.flatMap((p) => (p ? [p] : []));
    return had.length === 0 ? null : { x: mean(had.map((p) => p.x)), y: mean(had.map((p) => p.y)) };
  };
  return {
    off: middle(of.map((s) => s.off))!,
    nearest: middle(of.map((s) => s.nearest)),
    on: middle(of.map((s) => s.on)),
    nextOff: middle(of.map((s) => s.nextOff)),
  };
}
