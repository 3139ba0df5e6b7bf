import { MeasureError } from "../../errors.ts";
import { fitCamera } from "../camera/fitCamera.ts";
import { fitPlane, type LensModel } from "../camera/fitPlane.ts";
import { type Blamed, TELLS_APART } from "./badPoint.ts";
import { refusedMisfit } from "./poorFit.ts";
import { isSeenFromAbove } from "./seenFromAbove.ts";
import type { WeighedPair } from "./weighedPairs.ts";

/**
 * Which two points are marked each at the other's place; null where exchanging no two of them makes all agree. Four
 * points agree however they are exchanged, and it is the camera that tells: few exchanges are what one could see.
 *
 * @param labels of the pairs
 */
export function exchangedPoints(
  pairs: readonly WeighedPair[],
  labels: readonly string[],
  lens: LensModel,
): Blamed | null {
  const [best, second, third] = likeliest(exchanges(pairs, labels), lens);
  if (!best || third) return null;
  const other = second ? `, or else ${second.name}` : "";
  return {
    text: `${best.name} are probably exchanged${other}. Put each mark at its own point.`,
    names: [best, second].flatMap((h) => (h ? h.labels : [])),
  };
}

/** The refusal of points that no camera above the ice sees so, with what is probably wrong with them. */
export function notSeenFromAbove(
  pairs: readonly WeighedPair[],
  labels: readonly string[],
  lens: LensModel,
): MeasureError {
  const mirrored: Hypothesis = { name: "", labels: [], pairs: pairs.map((p) => ({ ...p, y: -p.y })) };
  const isMirrored = likeliest([mirrored, ...exchanges(pairs, labels)], lens)[0] === mirrored;
  const exchanged = isMirrored ? null : exchangedPoints(pairs, labels, lens);
  const sides = "Check which points are left of the lane (y positive) and which right, and which way x runs.";
  return new MeasureError(
    "ice-points-mirrored",
    `fitScale requires ice points that can be seen from above the ice; ${exchanged ? `they could with ${exchanged.names.join(", ")} exchanged` : "these are mirrored or crossed"}`,
    isMirrored
      ? `The ice points are mirrored: with these places the camera would be under the ice. ${sides}`
      : `No camera above the ice would see the ice points so. ${exchanged?.text ?? `One of them is far from its place, or several are exchanged. ${sides}`}`,
    { labels: exchanged?.names ?? [] },
  );
}

/** SD of the principal point about the picture's middle, px: what four points leave open goes to the simplest camera. */
const CENTRED = 1;

/** How the points may have been meant. */
interface Hypothesis {
  /** "P1 and P2". */
  readonly name: string;
  readonly labels: readonly string[];
  readonly pairs: readonly WeighedPair[];
}

function exchanges(pairs: readonly WeighedPair[], labels: readonly string[]): Hypothesis[] {
  return labels.flatMap((a, i) =>
    labels.slice(i + 1).map((b, k): Hypothesis => {
      const j = i + 1 + k;
      const at = (n: number) => (n === i ? pairs[j]! : n === j ? pairs[i]! : pairs[n]!);
      return {
        name: `${a} and ${b}`,
        labels: [a, b],
        pairs: pairs.map((p, n) => ({ ...p, x: at(n).x, y: at(n).y, placeSd: at(n).placeSd })),
      };
    }),
  );
}

/** Those under which the points agree and are seen from above, the likeliest first; without what is clearly less likely. */
function likeliest(hypotheses: readonly Hypothesis[], lens: LensModel): Hypothesis[] {
  const straight = { ...lens, find: 0 as const };
  const possible = hypotheses
    .flatMap((hypothesis) => {
      const plane = fitPlane(hypothesis.pairs, straight);
      if (!plane || !isSeenFromAbove(plane, hypothesis.pairs)) return [];
      const freedom = 2 * hypothesis.pairs.length - 8;
      if (freedom > 0 && plane.chiSquare > freedom * refusedMisfit(freedom) ** 2) return [];
      const camera = fitCamera(hypothesis.pairs, plane, { ...lens.frame, sdPx: CENTRED });
      return [{ hypothesis, chiSquare: (camera ?? plane).chiSquare, freedom: freedom + (camera ? 1 : 0) }];
    })
    .sort((a, b) => a.chiSquare - b.chiSquare);
  const [best] = possible;
  if (!best) return [];
  // Marks and places may be worse than stated: then differences count for less.
  const unit = Math.max(1, best.chiSquare / Math.max(1, best.freedom));
  return possible
    .filter((p) => p.chiSquare - best.chiSquare < TELLS_APART * unit)
    .map(({ hypothesis }) => hypothesis);
}
