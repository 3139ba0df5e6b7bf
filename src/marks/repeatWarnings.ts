import type { Warning } from "../reading.ts";
import type { Mark } from "../study/types.ts";
import { areCopies, repeatedPoints } from "./markingSd.ts";
import { kindOf, type MarkSds, type ReckonedSd } from "./markSds.ts";
import { pointWords } from "./pointWords.ts";

/** Marks of one point are expected within this many SD of the difference of two. */
const APART_SD = 4;

/** What repeat marks say that the coach should know. */
export function repeatWarnings(marks: readonly Mark[], sds: MarkSds): Warning[] {
  const repeated = repeatedPoints(marks);
  if (repeated.length === 0) return [];
  if (areCopies(repeated)) {
    return [
      {
        code: "repeat-marks-copied",
        text: "Most repeat marks are the very same numbers as the marks they repeat, as if copied. Each is counted once; mark again without seeing the first marks.",
      },
    ];
  }
  return [...farPairs(repeated, sds), ...worseThanSaid(sds.blades)];
}

/** Two marks of a point that disagree: nothing tells which is wrong. From three on the odd one hardly counts. */
function farPairs(repeated: readonly (readonly Mark[])[], sds: MarkSds): Warning[] {
  return repeated.flatMap((group) => {
    if (group.length !== 2) return [];
    const [a, b] = group as [Mark, Mark];
    const apart = Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx);
    if (apart <= APART_SD * Math.SQRT2 * sds[kindOf(a.point)].sdPx) return [];
    return [
      {
        code: "repeat-marks-disagree",
        text: `The two marks of the ${pointWords(a.point, a.side)} in frame ${a.frame} are ${apart.toFixed(0)} px apart, and nothing tells which is right. Mark it a third time, or remove the wrong one.`,
      },
    ];
  });
}

function worseThanSaid({ sdPx, from, repeats }: ReckonedSd): Warning[] {
  if (!repeats || from !== "stated" || repeats.low <= sdPx) return [];
  return [
    {
      code: "marking-worse-than-stated",
      text: `Repeat marks scatter by ${repeats.sdPx.toFixed(1)} px a coordinate (95 % from ${repeats.low.toFixed(1)} to ${repeats.high.toFixed(1)}), and ${sdPx} px was stated: every ± is too narrow.`,
    },
  ];
}
