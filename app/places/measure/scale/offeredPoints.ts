import type { PicturePoint, Scale } from "../../../../src/ice/types.ts";
import type { LanePlacement, MarkedPicture, WholeStudy } from "../../../../src/study/types.ts";
import { chosenPoint, type IceCandidate, type Tool } from "../core/tool.ts";
import { type Candidate, candidates, rinkCandidates } from "./scaleCandidates.ts";

/** Where one stands while ice points are put. */
export interface PuttingPoints {
  readonly whole: WholeStudy;
  readonly trial: string;
  readonly frame: number;
  readonly typed: readonly IceCandidate[];
  /** null while there is none. */
  readonly scale: Scale | null;
  readonly picture: Pick<MarkedPicture, "width" | "height"> | null;
}

/** Where the scale expects a place to be seen; null without a scale, or where it is outside the picture. */
export function expectedAt(
  { scale, picture, frame }: Pick<PuttingPoints, "scale" | "picture" | "frame">,
  { x, y }: IceCandidate,
): PicturePoint | null {
  const p = scale?.toPicture(x, y, 0, frame);
  if (!p || !picture) return null;
  return p.xPx >= 0 && p.yPx >= 0 && p.xPx < picture.width && p.yPx < picture.height ? p : null;
}

/** Nearer than this two places are one under two names, metres. */
const SAME_M = 0.05;

/**
 * The places of the list that can be seen (all of them as long as there is no scale to tell) and are not put already under
 * another name.
 */
export function offeredPoints(now: PuttingPoints): readonly Candidate[] {
  const list = candidates(now.whole, now.trial, now.frame, now.typed);
  const marked = list.filter((c) => c.marked);
  return list.filter(
    (c) =>
      c.marked ||
      ((now.scale === null || expectedAt(now, c) !== null) && !marked.some((m) => apart(m, c) < SAME_M)),
  );
}

/** A press so near on the ice to what is asked for is meant for that, metres. */
const BESIDE_M = 0.5;

/**
 * Where on the picture a press puts a place that was not asked for. What is asked for is put like any point: pressed, adjusted,
 * let go; so is what lies right beside it.
 */
export function targetsOf(
  now: PuttingPoints,
  left: readonly IceCandidate[],
  tool: Tool,
): readonly (PicturePoint & { readonly label: string })[] {
  const chosen = chosenPoint({ tool });
  return left.flatMap((c) => {
    const at = chosen && apart(chosen, c) < BESIDE_M ? null : expectedAt(now, c);
    return at ? [{ ...at, label: c.label }] : [];
  });
}

/** Between two places on the ice, metres. */
export function apart(a: IceCandidate, b: IceCandidate): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

/**
 * The place to ask for once that of this name is put: the next of its list that can be seen and is not put yet, round to
 * its beginning; of the rink's markings the nearest, once the scale says which can be seen. null = none is left.
 */
export function pointAfter(now: PuttingPoints, label: string): IceCandidate | null {
  const { typed } = now;
  const all = candidates(now.whole, now.trial, now.frame, typed);
  const offered = offeredPoints(now);
  const isTyped = typed.some((t) => t.label === label);
  // Those typed in a row are asked for in that row.
  const order = isTyped ? typed : offered;
  const open = (c: IceCandidate) => offered.some((o) => o.label === c.label && !o.marked);
  const at = order.findIndex((c) => c.label === label);
  const next = [...order.slice(at + 1), ...order.slice(0, at + 1)].find(open);
  if (next) return plain(next);
  const { placement } = now.whole.study.lane;
  return placement ? nearestMarking(now, placement, label, new Set(all.map((c) => c.label))) : null;
}

function nearestMarking(
  now: PuttingPoints,
  placement: LanePlacement,
  label: string,
  taken: ReadonlySet<string>,
): IceCandidate | null {
  const markings = rinkCandidates(placement);
  const from = markings.find((c) => c.label === label);
  if (!from || !now.scale) return null;
  const seen = markings.filter((c) => !taken.has(c.label) && expectedAt(now, c) !== null);
  const nearest = seen.sort((a, b) => apart(a, from) - apart(b, from))[0];
  return nearest ? plain(nearest) : null;
}

const plain = ({ label, x, y, u }: IceCandidate): IceCandidate =>
  u === undefined ? { label, x, y } : { label, x, y, u };
