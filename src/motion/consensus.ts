import type { Match } from "./fitMap.ts";
import { chained, mapped, type PlaneMap, type Point } from "./planeMap.ts";

const DRAWS = 200;
export interface Agreement {
  readonly map: PlaneMap;
  /** Trusted places that agree, as a sum; a place that agrees exactly counts whole. */
  readonly support: number;
  /** The same as a share of all. */
  readonly share: number;
}

/**
 * The turn, scale and move on top of what is expected with which most places agree.
 *
 * Places that move with people agree with each other in small parts of the picture only; as each part of the picture has one
 * place at most, most agreement is most of the picture.
 *
 * @param withinPx within it a place agrees; the map looked for is only nearly the true one
 * @param random uniform numbers in [0, 1)
 * @see Torr and Zisserman (2000), MLESAC, Computer Vision and Image Understanding 78, 138-156: the score
 */
export function consensus(
  matches: readonly Match[],
  expected: PlaneMap,
  withinPx: number,
  random: () => number,
): Agreement | null {
  if (matches.length < 6) return null;
  const before = matches.map((m) => mapped(expected, m.from.x, m.from.y));
  let best: { move: PlaneMap; support: number } | null = null;
  for (let draw = 0; draw < DRAWS; draw++) {
    const i = Math.floor(random() * matches.length);
    const j = Math.floor(random() * matches.length);
    const move = fromTwo([before[i]!, before[j]!], [matches[i]!.to, matches[j]!.to]);
    if (!move) continue;
    let support = 0;
    for (let k = 0; k < matches.length; k++) {
      const at = mapped(move, before[k]!.x, before[k]!.y);
      const off = ((at.x - matches[k]!.to.x) ** 2 + (at.y - matches[k]!.to.y) ** 2) / withinPx ** 2;
      if (off < 1) support += matches[k]!.trust * (1 - off);
    }
    if (!best || support > best.support) best = { move, support };
  }
  const all = matches.reduce((sum, { trust }) => sum + trust, 0);
  return best && { map: chained(best.move, expected), support: best.support, share: best.support / all };
}

/** px; closer together two places say too little of turn and scale. */
const APART_PX = 40;

function fromTwo([a, b]: readonly [Point, Point], [A, B]: readonly [Point, Point]): PlaneMap | null {
  const [x, y] = [b.x - a.x, b.y - a.y];
  const [X, Y] = [B.x - A.x, B.y - A.y];
  const square = x * x + y * y;
  if (square < APART_PX ** 2) return null;
  const c = (x * X + y * Y) / square;
  const s = (x * Y - y * X) / square;
  return [c, -s, A.x - c * a.x + s * a.y, s, c, A.y - s * a.x - c * a.y, 0, 0, 1];
}
