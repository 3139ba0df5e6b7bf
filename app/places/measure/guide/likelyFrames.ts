import type { EventFrame } from "../../../../src/study/types.ts";

/**
 * Frames one is likely to go to next, likeliest first: the nearest event frames on both sides, what the rhythm
 * suggests, then farther event frames.
 *
 * @param proposed frames the rhythm suggests
 */
export function likelyFrames(
  events: readonly EventFrame[],
  frame: number,
  proposed: readonly number[],
): number[] {
  const after = events.map((e) => e.frame).filter((f) => f > frame);
  const before = events.map((e) => e.frame).filter((f) => f < frame);
  after.sort((a, b) => a - b);
  before.sort((a, b) => b - a);
  const [nearest, ...farther] = Array.from({ length: 3 }, (_, i) => [after[i], before[i]]);
  const all = [...(nearest ?? []), ...proposed, ...farther.flat()];
  return [...new Set(all.filter((f) => f !== undefined && f !== frame))] as number[];
}
