import { chiSquareQuantile, t975 } from "../statistics/distributions.ts";
import { median } from "../statistics/median.ts";
import type { IceReference } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { areCopies, ENOUGH_POINTS, type MarkingSd, SLIP_SD } from "./markingSd.ts";

/** Pressed again by fewer points, a frame is followed exactly by a picture that shifted, turned and grew. */
const FEWEST_IN_FRAME = 3;
/** Median of |N(0, 1)|. */
const MEDIAN_OF_NORMAL = 0.6745;

type Reference = IceReference | null | undefined;

/** An ice point pressed again: where it was first marked, px, and how far off it is pressed now. */
interface Again {
  readonly label: string;
  readonly frame: number;
  readonly first: { readonly xPx: number; readonly yPx: number };
  readonly xPx: number;
  readonly yPx: number;
}

/**
 * Marking SD of ice points, from those of a still camera that were pressed again on later frames: the second mark less the
 * first has twice a mark's variance. Whatever a bumped camera does to all points of a frame alike (a shift, a turn, a
 * growth of the picture) is taken out of that frame first, so that it is neither counted as marking nor hidden by it.
 *
 * @param references of each trial
 * @returns null with fewer than ten points pressed again on frames of three or more, or when the repeats are copies
 */
export function iceRepeats(references: readonly Reference[]): MarkingSd | null {
  const clips = references.map(framesAgain);
  const all = clips.flat(2);
  if (all.length < ENOUGH_POINTS || areCopies(all.map((a) => [a, a.first]))) return null;
  const rough = median(clips.flat().flatMap(leftOver).map(Math.abs)) / MEDIAN_OF_NORMAL;
  const slips: string[] = [];
  let [square, df, points] = [0, 0, 0];
  for (const clip of clips) {
    let freedom = 0;
    for (const frame of clip) {
      const off = leftOver(frame);
      const kept = frame.filter((_, k) => Math.hypot(off[2 * k]!, off[2 * k + 1]!) <= SLIP_SD * rough);
      for (const { label, frame: at } of frame.filter((a) => !kept.includes(a)))
        slips.push(`ice point ${label} in frame ${at}`);
      if (kept.length < FEWEST_IN_FRAME) continue;
      square += leftOver(kept).reduce((sum, d) => sum + d * d, 0);
      freedom += 2 * kept.length - 4;
      points += kept.length;
    }
    df += freedom;
  }
  if (points < ENOUGH_POINTS) return null;
  const sdPx = Math.sqrt(square / df / 2);
  const tells = clips.reduce((sum, clip) => sum + ownFreedom(clip), 0);
  const end = (p: number) => sdPx * Math.sqrt(tells / chiSquareQuantile(p, tells));
  return {
    sdPx,
    low: end(0.975),
    high: end(0.025),
    points,
    df: Math.round(tells),
    usedPx: (sdPx * t975(Math.max(1, Math.round(tells)))) / K95,
    slips,
  };
}

/**
 * Degrees of freedom of a clip's frames. The differences of one point on several frames share its first mark, so that they
 * correlate by a half and their squares by a quarter.
 */
function ownFreedom(clip: readonly (readonly Again[])[]): number {
  const freedom = clip.reduce((sum, frame) => sum + 2 * frame.length - 4, 0);
  return clip.length === 0 ? 0 : freedom / (1 + (clip.length - 1) / 4);
}

/** Points pressed again, by frame, where there are enough in the frame. */
function framesAgain(reference: Reference): Again[][] {
  if (reference?.kind !== "ice-points") return [];
  const first = new Map(reference.points.map((p) => [p.label, p]));
  const frames = new Map<number, Again[]>();
  for (const { frame, label, xPx, yPx } of reference.rechecks ?? []) {
    const point = first.get(label);
    // A point that says how well it is marked is not marked as others are.
    if (!point || point.uPx !== undefined) continue;
    const again = { label, frame, first: point, xPx, yPx };
    frames.set(frame, [...(frames.get(frame) ?? []), again]);
  }
  return [...frames.values()].filter((frame) => frame.length >= FEWEST_IN_FRAME);
}

/** Second mark less first, x and y in turn, px, without the shift, turn and growth of the picture that fits them best. */
function leftOver(frame: readonly Again[]): number[] {
  const mean = (pick: (a: Again) => number) => frame.reduce((sum, a) => sum + pick(a), 0) / frame.length;
  const [mx, my] = [mean((a) => a.first.xPx), mean((a) => a.first.yPx)];
  const [mdx, mdy] = [mean((a) => a.xPx - a.first.xPx), mean((a) => a.yPx - a.first.yPx)];
  const about = frame.map((a) => ({
    x: a.first.xPx - mx,
    y: a.first.yPx - my,
    dx: a.xPx - a.first.xPx - mdx,
    dy: a.yPx - a.first.yPx - mdy,
  }));
  const size = about.reduce((sum, { x, y }) => sum + x * x + y * y, 0);
  const growth = about.reduce((sum, { x, y, dx, dy }) => sum + x * dx + y * dy, 0) / size;
  const turn = about.reduce((sum, { x, y, dx, dy }) => sum + x * dy - y * dx, 0) / size;
  return about.flatMap(({ x, y, dx, dy }) => [dx - growth * x + turn * y, dy - growth * y - turn * x]);
}
