import type { Area } from "../film/layout.ts";

/**
 * The parts of a line that lie outside an area.
 *
 * @param points x and y by turns, as they follow each other
 * @returns lines of the same form; the line itself where it does not meet the area
 */
export function outsideArea(points: readonly number[], area: Area): (readonly number[])[] {
  const parts: number[][] = [];
  let part: number[] = [];
  const end = () => {
    if (part.length > 2) parts.push(part);
    part = [];
  };
  for (let k = 0; k + 3 < points.length; k += 2) {
    const [ax, ay, bx, by] = [points[k]!, points[k + 1]!, points[k + 2]!, points[k + 3]!];
    const within = inside(ax, ay, bx, by, area);
    if (part.length === 0 && (!within || within[0] > 0)) part.push(ax, ay);
    if (!within) {
      part.push(bx, by);
      continue;
    }
    const [from, to] = within;
    if (from > 0) part.push(ax + from * (bx - ax), ay + from * (by - ay));
    end();
    if (to < 1) part.push(ax + to * (bx - ax), ay + to * (by - ay), bx, by);
  }
  end();
  return parts;
}

/** From which to which share of the way from a to b it runs inside, after Liang and Barsky (1984); null = nowhere. */
function inside(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  area: Area,
): readonly [from: number, to: number] | null {
  let [from, to] = [0, 1];
  for (const [start, step, low, high] of [
    [ax, bx - ax, area.x, area.x + area.width],
    [ay, by - ay, area.y, area.y + area.height],
  ] as const) {
    if (step === 0) {
      if (start <= low || start >= high) return null;
      continue;
    }
    const [one, other] = [(low - start) / step, (high - start) / step];
    from = Math.max(from, Math.min(one, other));
    to = Math.min(to, Math.max(one, other));
  }
  return from < to ? [from, to] : null;
}
