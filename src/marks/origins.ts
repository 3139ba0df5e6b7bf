import type { TrialMarks } from "../study/types.ts";

/** How a trial's confirmed marks came to be. */
interface Origins {
  readonly strides: number;
  /** Strides confirmed from suggestions; the others are by hand. */
  readonly accepted: number;
  /** Points put elsewhere than they were suggested. */
  readonly moved: number;
}

/** A stride counts as accepted when its blade-off, or a point on that frame, was confirmed from a suggestion. */
function originsOf({ events, marks }: Pick<TrialMarks, "events" | "marks">): Origins {
  const suggested = new Set(
    [...events, ...marks].flatMap(({ from, frame }) =>
      from === "accepted" || from === "moved" ? [frame] : [],
    ),
  );
  const offs = events.filter((e) => e.event === "blade_off");
  return {
    strides: offs.length,
    accepted: offs.filter((e) => suggested.has(e.frame)).length,
    moved: marks.filter((m) => m.from === "moved").length,
  };
}

/** "11 strides: 4 by hand, 7 accepted, 12 points moved"; null where all is by hand. */
export function originWords(marks: Pick<TrialMarks, "events" | "marks">): string | null {
  const { strides, accepted, moved } = originsOf(marks);
  if (accepted === 0) return null;
  const count = (n: number, what: string) => `${n} ${what}${n === 1 ? "" : "s"}`;
  return `${count(strides, "stride")}: ${strides - accepted} by hand, ${accepted} accepted, ${count(moved, "point")} moved`;
}
