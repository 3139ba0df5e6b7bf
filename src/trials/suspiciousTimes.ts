import { median } from "../statistics/median.ts";
import type { Study, Trial } from "../study/types.ts";

export interface Doubt {
  readonly trial: string;
  /** A question to ask; nothing is changed. */
  readonly question: string;
}

/** A skater's own trials rarely differ by more than this share of their median, and skaters by more than that. */
const [FAR_FROM_OWN, FAR_FROM_OTHERS] = [0.12, 0.35];
/** Mean speeds over a lane that nobody skates, m/s. */
const [SLOWEST, FASTEST] = [2, 12];

/** Times worth a second look: a slip of the digits, the same time typed twice, a speed nobody skates. */
export function suspiciousTimes(study: Study): Doubt[] {
  const timed = study.trials.filter((t) => t.time !== null).sort((a, b) => a.order - b.order);
  return timed.flatMap((trial, i) => {
    const question =
      speedDoubt(trial, study.lane.distance) ?? slipDoubt(trial, timed) ?? twiceDoubt(trial, timed[i - 1]);
    return question === null ? [] : [{ trial: trial.id, question }];
  });
}

function speedDoubt(trial: Trial, distance: number): string | null {
  if (distance <= 0) return null;
  const speed = distance / trial.time!;
  if (speed >= SLOWEST && speed <= FASTEST) return null;
  return `That would be ${speed.toFixed(1)} m/s over the lane. Is the time or the lane right?`;
}

function slipDoubt(trial: Trial, timed: readonly Trial[]): string | null {
  const others = timed.filter((t) => t.id !== trial.id);
  const own = others.filter((t) => t.skater === trial.skater);
  const [compared, whose, share] =
    own.length >= 2 ? [own, "This skater's", FAR_FROM_OWN] : [others, "The", FAR_FROM_OTHERS];
  if (compared.length < 2) return null;
  const usual = median(compared.map((t) => t.time!));
  const far = (time: number) => Math.abs(time - usual) > share * usual;
  if (!far(trial.time!)) return null;
  const meant = swaps(trial.time!).filter((time) => !far(time));
  const guess = meant.length > 0 ? ` Could it be ${meant[0]} with two digits swapped?` : " Is it right?";
  return `${whose} other times are around ${usual.toFixed(2)} s.${guess}`;
}

function twiceDoubt(trial: Trial, before: Trial | undefined): string | null {
  return before?.time === trial.time ? "The same time as the trial before it. Was it typed twice?" : null;
}

/** The number with two neighbouring digits exchanged, in every way. */
function swaps(time: number): number[] {
  const digits = [...String(time)];
  return digits.slice(1).flatMap((_, i) => {
    const copy = digits.slice();
    const k = copy[i + 1] === "." ? i + 2 : i + 1;
    if (copy[i] === "." || k >= copy.length) return [];
    [copy[i], copy[k]] = [copy[k]!, copy[i]!];
    return [Number(copy.join(""))];
  });
}
