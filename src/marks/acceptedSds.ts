import { t975 } from "../statistics/distributions.ts";
import type { Mark } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { kindOf, type MarkKind, type MarkSds } from "./markSds.ts";

/** SD per coordinate of suggestions that a person accepted, px; null where too few blind checks tell. */
export type AcceptedSds = Readonly<Record<MarkKind, number | null>>;

/** Fewer independent differences tell nothing of a spread. */
const FEWEST = 4;
/** However few of the blind checks would have been accepted, so many of them are counted. [judgement] */
const LEAST_KEPT = 0.5;
/** Of a difference at least this share is the suggestion's error: a hand's may be reckoned too large. [judgement] */
const LEAST_SHARE = 0.5;

/**
 * How far accepted suggestions are off, from the blind checks of the same clip.
 *
 * A blind check's difference d is the suggestion's error less the hand's, of SD h. A person moves the suggestions that look
 * wrong, so of the differences the largest are left out, as many as points seen were moved. What is left of the error e
 * given d is, both being normal, r d with variance r h², where r = 1 - h² / mean d² (the conditional of a bivariate normal);
 * so the mean of e² is r² (mean d² of those kept) + r h². Wider by Student's t for being learned from few.
 */
export function acceptedSds(marks: readonly Mark[], sds: MarkSds): AcceptedSds {
  const of = (kind: MarkKind): number | null => {
    const own = marks.filter((m) => kind !== "icePoints" && kindOf(m.point) === kind && m.suggested);
    const squares = own
      .flatMap(({ xPx, yPx, suggested: s }) =>
        s?.blind ? [((xPx - s.xPx) ** 2 + (yPx - s.yPx) ** 2) / 2] : [],
      )
      .sort((a, b) => a - b);
    const seen = own.filter((m) => m.from === "accepted" || m.from === "moved");
    const moved = seen.length > 0 ? seen.filter((m) => m.from === "moved").length / seen.length : 0;
    const kept = squares.slice(0, Math.ceil(Math.max(LEAST_KEPT, 1 - moved) * squares.length));
    // Two coordinates a point; both ends of a blade are found together, both hips by one trunk: they tell as much as one of them.
    const freedom = kind === "arms" ? 2 * kept.length : kept.length;
    if (freedom < FEWEST) return null;
    const h2 = sds[kind].sdPx ** 2;
    const share = Math.min(1, Math.max(LEAST_SHARE, 1 - h2 / mean(squares)));
    return (Math.sqrt(share ** 2 * mean(kept) + share * h2) * t975(freedom)) / K95;
  };
  return { blades: of("blades"), hips: of("hips"), arms: of("arms"), icePoints: null };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
