import { median } from "../statistics/median.ts";
import { bestMatch, part, templateAt } from "./matchTemplate.ts";
import type { Grey } from "./pixels.ts";

interface At {
  readonly x: number;
  readonly y: number;
}

/** A blade a person has confirmed, in its own picture. */
export interface KnownBlade {
  readonly frame: number;
  readonly heel: At;
  readonly toe: At;
  /** The picture about it. */
  readonly picture: Grey;
  /** The body's size in that frame, px. */
  readonly size: number;
}

export interface FoundBlade {
  readonly heel: At;
  readonly toe: At;
  /** The largest distance of one template's place from their middle, px. */
  readonly spread: number;
  /** Frames of the blades that found it. */
  readonly by: readonly number[];
}

/** So many known blades vote. */
export const VOTES = 3;
/** More than this apart, px, the templates do not agree and nothing is suggested. [measured: docs/suggested-marks.md] */
export const AGREE_WITHIN = 2;

/** What of the picture about a blade belongs to its template, as a multiple of the body's size. */
const AROUND = 0.16;
/** How far around the expected place is looked, as a multiple of the body's size: about 14 cm. */
const SEARCH = 0.22;

/**
 * Finds a blade again that looked alike in earlier strides, each known blade one voice.
 *
 * @param known at most `VOTES` are used, best first
 * @param expected the place of the middle of the blade by each known one
 */
export function findBlade(
  picture: Grey,
  known: readonly KnownBlade[],
  expected: At,
  size: number,
): FoundBlade | null {
  const found = known.slice(0, VOTES).flatMap((k) => placeBy(picture, k, expected, size) ?? []);
  if (found.length < 2) return null;
  const middle = (of: (f: { heel: At; toe: At }) => number) => median(found.map(of));
  const heel = { x: middle((f) => f.heel.x), y: middle((f) => f.heel.y) };
  const toe = { x: middle((f) => f.toe.x), y: middle((f) => f.toe.y) };
  const spread = Math.max(
    ...found.flatMap((f) => [
      Math.hypot(f.heel.x - heel.x, f.heel.y - heel.y),
      Math.hypot(f.toe.x - toe.x, f.toe.y - toe.y),
    ]),
  );
  return { heel, toe, spread, by: found.map((f) => f.frame) };
}

interface Placed {
  readonly heel: At;
  readonly toe: At;
  readonly frame: number;
}

function placeBy(picture: Grey, known: KnownBlade, expected: At, size: number): Placed | null {
  const scale = size / known.size;
  const centre = { x: (known.heel.x + known.toe.x) / 2, y: (known.heel.y + known.toe.y) / 2 };
  const reach = Math.ceil(AROUND * size);
  const width = 2 * (Math.ceil(Math.abs(known.toe.x - known.heel.x) * 0.5 * scale) + reach) + 1;
  const height = 2 * (Math.ceil(Math.abs(known.toe.y - known.heel.y) * 0.5 * scale) + reach) + 1;
  const template = templateAt(known.picture, centre, { width, height }, scale);
  if (!template) return null;
  const match = bestMatch(part(picture, expected, SEARCH * size, template), template);
  if (!match) return null;
  const moved = (p: At): At => ({
    x: match.x + (p.x - centre.x) * scale,
    y: match.y + (p.y - centre.y) * scale,
  });
  return { heel: moved(known.heel), toe: moved(known.toe), frame: known.frame };
}
