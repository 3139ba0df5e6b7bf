import { agendaOf } from "./eventStep.ts";
import { openFrames } from "./guide.ts";
import type { GuideInput } from "./guideStep.ts";

/**
 * Whether nothing of the strides picked so far is left to ask at this depth, but of the last two: as the skater leaves the
 * picture, not all of them can be seen.
 */
export function allMarked(input: GuideInput): boolean {
  const offs = input.marks.events.filter((e) => e.event === "blade_off").map((e) => e.frame);
  const [, from] = offs.sort((a, b) => b - a);
  if (from === undefined) return false;
  const unpicked = agendaOf(input).filter((s) => s.frame === null);
  return (
    unpicked.every((s) => s.after !== null && s.after.frame >= from) &&
    openFrames(input.marks, input.depth).every((f) => f >= from)
  );
}
