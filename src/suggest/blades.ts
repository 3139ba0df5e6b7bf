import { median } from "../statistics/median.ts";
import { type At, heelToToe, type KnownBlade, middleOf } from "./bladeForm.ts";
import { bestMatch, part, templateAt } from "./matchTemplate.ts";
import type { Grey } from "./pixels.ts";

export interface FoundBlade {
  readonly heel: At;
  readonly toe: At;
  /** The largest distance of one template's place from their middle, px. */
  readonly spread: number;
  /** Frames of the blades that found it. */
  readonly by: readonly number[];
}

/** So many known blades vote, the nearest in time; of a blade in the air so many of each event that may look like it. */
export const VOTES = 3;
/** More than this apart, px, the templates do not agree and nothing is suggested. [measured: docs/suggested-marks.md] */
export const AGREE_WITHIN = 2;

/** What of the picture about a blade belongs to its template, as a multiple of the body's size. */
const AROUND = 0.16;
/** How far around the expected place is looked, as a multiple of the body's size: about 14 cm. */
const SEARCH = 0.22;

/** Templates whose likeness lacks no more than this many times what the best one's lacks of 1 vote on a blade in the air. */
const AS_ALIKE = 1.5;
/** A blade in the air that looks less like every known one than this is pitched as none of them. [chosen on renders: docs/suggested-marks.md] */
const ALIKE_FROM = 0.88;

interface Match extends At {
  readonly known: KnownBlade;
  readonly likeness: number;
}

/**
 * Finds a blade again that looked alike in earlier strides, each known blade one voice.
 *
 * What is seen of a skate is mostly its end nearer to the camera, so that is where a match has it; the other end follows from
 * how long the blade looks at this size. On the ice it lies as it did; in the air it is pitched otherwise from frame to
 * frame, so there only those known ones vote that look most like it, and one that looks clearly most like it is enough.
 *
 * @param expected the place of the middle of the blade by each known one
 * @param onIce whether the blade lies on the ice at this event
 */
export function findBlade(
  picture: Grey,
  known: readonly KnownBlade[],
  expected: At,
  size: number,
  onIce: boolean,
): FoundBlade | null {
  const all = known.flatMap((k) => matchOf(picture, k, expected, size) ?? []);
  const found = onIce ? all : mostAlike(all);
  if (found.length < (onIce ? 2 : 1)) return null;
  const blades = found.map((f) => f.known);
  const long = (at: number) => heelToToe(blades, onIce, at);
  const [here, nearer] = [long(size), long(size).y >= 0 ? 0.5 : -0.5];
  const votes = found.map((match) => {
    const [there, scale] = [long(match.known.size), size / match.known.size];
    return { x: match.x + nearer * there.x * scale, y: match.y + nearer * there.y * scale };
  });
  const near = { x: median(votes.map((v) => v.x)), y: median(votes.map((v) => v.y)) };
  const end = (share: number) => ({
    x: near.x + (share - nearer) * here.x,
    y: near.y + (share - nearer) * here.y,
  });
  const spread = Math.max(
    ...votes.map((v) => apart(v, near)),
    ...(onIce ? [] : blades.map((k) => apart(heelToToe([k], onIce, size), here))),
  );
  return { heel: end(-0.5), toe: end(0.5), spread, by: blades.map((k) => k.frame) };
}

function mostAlike(found: readonly Match[]): readonly Match[] {
  const best = Math.max(...found.map((f) => f.likeness));
  return best < ALIKE_FROM ? [] : found.filter((f) => 1 - f.likeness <= AS_ALIKE * (1 - best));
}

const apart = (a: At, b: At) => Math.hypot(a.x - b.x, a.y - b.y);

function matchOf(picture: Grey, known: KnownBlade, expected: At, size: number): Match | null {
  const scale = size / known.size;
  const reach = Math.ceil(AROUND * size);
  const wide = (a: number, b: number) => 2 * (Math.ceil(Math.abs(b - a) * 0.5 * scale) + reach) + 1;
  const box = { width: wide(known.heel.x, known.toe.x), height: wide(known.heel.y, known.toe.y) };
  const template = templateAt(known.picture, middleOf(known), box, scale);
  const match = template && bestMatch(part(picture, expected, SEARCH * size, template), template);
  return match && { ...match, known };
}
