import { randomNumbers } from "../statistics/randomNumbers.ts";
import type { Mark } from "../study/types.ts";
import { kindOf } from "./markSds.ts";

/** How much nearer to what was suggested a hand put what it moved than it would have without seeing it. */
export interface Anchoring {
  /** 0 = not drawn at all, 1 = all the way; below 0 where it is farther by chance. */
  readonly share: number;
  /** 95 % interval. */
  readonly low: number;
  readonly high: number;
  /** Blades, or pairs of hips, that were moved, and that were marked blind. */
  readonly moved: number;
  readonly checks: number;
}

type Kind = "blades" | "hips";

/** Fewer blind checks, or fewer moved, tell nothing. [judgement] */
const FEWEST = 8;
/** And of the blind checks so many must be as far off as what was moved. [judgement: with fewer the interval is too narrow] */
const FEWEST_FAR = 3;
const DRAWS = 500;
const SEED = 1;

/** Distances of one piece, px: what was put from what was suggested. */
interface Looked {
  readonly off: number;
  readonly isMoved: boolean;
}

/**
 * Whether a hand is drawn to the suggestions it sees. Those who do not see a suggestion miss it by what blind checks say. A
 * person who sees it moves what looks wrong: of all, the share with the largest distances. Drawn part of the way to the
 * suggestion, what they put lies nearer to it, by that share, than as large a part of the blind checks does.
 *
 * The interval is by drawing both again with replacement, its percentiles (Efron 1979, "Bootstrap methods: another look at the
 * jackknife"). An eye that does not see exactly what lies farthest lets the share come out too large, by 0.02 to
 * 0.04 where suggestions err no more than the hand [simulated: docs/suggested-marks.md].
 *
 * @param trials marks of each trial; one person's
 * @returns null with fewer than eight blind checks or eight moved pieces of that kind, or too few checks as far off as those
 */
export function anchoring(trials: readonly (readonly Mark[])[], kind: Kind): Anchoring | null {
  const pieces = trials.flatMap((marks) => piecesOf(marks, kind));
  const checks = pieces.filter((p) => p.blind).map((p) => p.off);
  const looked: Looked[] = pieces.filter((p) => !p.blind);
  const moved = looked.filter((p) => p.isMoved).length;
  if (checks.length < FEWEST || moved < FEWEST) return null;
  if ((moved / looked.length) * checks.length < FEWEST_FAR) return null;
  const random = randomNumbers(SEED);
  const again = <T>(list: readonly T[]): T[] => list.map(() => list[Math.floor(random() * list.length)]!);
  const drawn = Array.from({ length: DRAWS }, () => shareOf(again(looked), again(checks)))
    .filter((s) => !Number.isNaN(s))
    .sort((a, b) => a - b);
  const at = (p: number) => drawn[Math.min(drawn.length - 1, Math.floor(p * drawn.length))]!;
  return { share: shareOf(looked, checks), low: at(0.025), high: at(0.975), moved, checks: checks.length };
}

/** @returns NaN where nothing was moved */
function shareOf(looked: readonly Looked[], checks: readonly number[]): number {
  const moved = looked.filter((p) => p.isMoved).map((p) => p.off);
  const part = (moved.length / looked.length) * checks.length;
  // The largest so many of the blind checks, the last of them in part.
  let [sum, left] = [0, part];
  for (const off of [...checks].sort((a, b) => b - a)) {
    sum += off * Math.min(1, left);
    left -= Math.min(1, left);
  }
  return 1 - moved.reduce((a, b) => a + b, 0) / moved.length / (sum / part);
}

function piecesOf(marks: readonly Mark[], kind: Kind): (Looked & { readonly blind: boolean })[] {
  const pieces = new Map<string, Mark[]>();
  for (const m of marks) {
    if (!m.suggested || kindOf(m.point) !== kind) continue;
    const key = `${m.frame} ${kind === "hips" ? "" : m.side} ${m.suggested.blind ?? false}`;
    pieces.set(key, [...(pieces.get(key) ?? []), m]);
  }
  return [...pieces.values()].map((piece) => {
    const square = piece.reduce(
      (sum, { xPx, yPx, suggested: s }) => sum + (xPx - s!.xPx) ** 2 + (yPx - s!.yPx) ** 2,
      0,
    );
    return {
      off: Math.sqrt(square / piece.length),
      isMoved: piece.some((m) => m.from === "moved"),
      blind: piece.some((m) => m.suggested?.blind),
    };
  });
}

/** What is known of it, in words; null where nothing was suggested. */
export function anchoringWords(trials: readonly (readonly Mark[])[]): string | null {
  if (!trials.some((marks) => marks.some((m) => m.suggested))) return null;
  const said = (["blades", "hips"] as const).flatMap((kind) => {
    const found = anchoring(trials, kind);
    if (!found) return [];
    const { share, low, high, moved, checks } = found;
    const per = (x: number) => Math.round(100 * x);
    return `${kind} ${per(share)} % (95 % interval ${per(low)} to ${per(high)} %, ${moved} moved, ${checks} blind checks)`;
  });
  if (said.length === 0)
    return "Whether suggestions draw the hand can't be told yet: it takes at least eight blind checks and eight moved pieces of a kind.";
  return `How much nearer to what was suggested points that were moved lie than those marked blind, 0 % where suggestions do not draw the hand: ${said.join("; ")}.`;
}
