import type { Mark } from "../study/types.ts";

/** So many of the points looked at last tell whether suggestions are still worth looking at. */
const LAST = 20;
/** More than this share of them moved: to mark by hand costs no more. [docs/suggested-marks.md] */
const MOST_MOVED = 0.4;

/**
 * Why nothing more is suggested on this clip, in words; null while suggestions are worth looking at. A person who moves a point
 * has its true place; one who moves nearly half of them is led more than helped.
 *
 * @param marks in the order in which they were confirmed
 */
export function tooManyMoved(marks: readonly Mark[]): string | null {
  const last = marks.filter((m) => m.from === "accepted" || m.from === "moved").slice(-LAST);
  const moved = last.filter((m) => m.from === "moved").length;
  if (last.length < LAST || moved <= MOST_MOVED * LAST) return null;
  return `You moved ${moved} of the last ${LAST} points that were suggested, so nothing more is suggested on this clip. Mark the rest by hand.`;
}
