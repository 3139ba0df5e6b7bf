export interface FlatPoint {
  readonly x: number;
  readonly y: number;
}

/** Convex hull, counter-clockwise from the lowest x, without points on its edges. @see Andrew (1979), IPL 9, 216-219 */
export function convexHull(points: readonly FlatPoint[]): FlatPoint[] {
  const sorted = points.slice().sort((a, b) => a.x - b.x || a.y - b.y);
  const half = (ordered: readonly FlatPoint[]) => {
    const chain: FlatPoint[] = [];
    for (const p of ordered) {
      while (chain.length >= 2 && turn(chain[chain.length - 2]!, chain[chain.length - 1]!, p) <= 0)
        chain.pop();
      chain.push(p);
    }
    chain.pop();
    return chain;
  };
  return [...half(sorted), ...half(sorted.slice().reverse())];
}

/** How far a point lies outside a convex outline, in the unit of the points; 0 inside. */
export function distanceOutside(hull: readonly FlatPoint[], p: FlatPoint): number {
  const next = (k: number) => hull[k + 1 === hull.length ? 0 : k + 1]!;
  if (hull.every((a, k) => turn(a, next(k), p) >= 0)) return 0;
  return hull.reduce((least, a, k) => Math.min(least, distanceToSegment(a, next(k), p)), Infinity);
}

function turn(a: FlatPoint, b: FlatPoint, c: FlatPoint): number {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

function distanceToSegment(a: FlatPoint, b: FlatPoint, p: FlatPoint): number {
  const length2 = (b.x - a.x) ** 2 + (b.y - a.y) ** 2;
  const along = ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length2;
  const t = Math.min(1, Math.max(0, along));
  return Math.hypot(p.x - a.x - t * (b.x - a.x), p.y - a.y - t * (b.y - a.y));
}
