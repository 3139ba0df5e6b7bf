import { exactly, product, type Sources, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";

/**
 * How far the clocks of two cameras may run apart, as a share. [judgement, no source: quartz is good to a ten-thousandth, but
 * files call 59.94 frames a second 60, which is a thousandth]
 */
export const CLOCK_RATE_U = 5e-4;

/** One moment as two views tell it, each in its own clock, real seconds. */
export interface SharedMoment {
  readonly first: Uncertain;
  readonly own: Uncertain;
}

/** How a view's clock lies to the first view's: first = own + offset + (rate − 1) (own − at). */
export interface ClockTie {
  readonly offset: Uncertain;
  readonly rate: Uncertain;
  /** Where on the view's own clock `offset` holds as it is: the middle of the shared moments, real seconds. */
  readonly at: number;
  /** By how much the picked frames of one moment may lie apart for want of a tie by events, seconds; 0 where events tie it. */
  readonly loose: number;
  /** A moment of the view's clock in the first view's. */
  toFirst(own: Uncertain): Uncertain;
}

/** The first view's own. */
export const FIRST_CLOCK: ClockTie = {
  offset: exactly(0),
  rate: exactly(1),
  at: 0,
  loose: 0,
  toFirst: (own) => own,
};

/**
 * Offset and rate by weighted least squares of the shared moments (JCGM 100:2008, H.3), the rate held near 1 by what is known
 * of clocks: over a few strides the moments alone tell it to about a hundredth.
 *
 * @param moments two or more; or one, whose own rate is then what is known of clocks
 * @param heardRate the rate as the clips' sound tells it, by itself
 */
export function tieClock(
  moments: readonly SharedMoment[],
  sources: Sources,
  heardRate: { readonly value: number; readonly u: number } | null = null,
): ClockTie {
  const weights = moments.map(({ first, own }) => 1 / (first.u ** 2 + own.u ** 2));
  const whole = weights.reduce((sum, w) => sum + w, 0);
  const at = moments.reduce((sum, { own }, k) => sum + weights[k]! * own.value, 0) / whole;
  const clocks = 1 / CLOCK_RATE_U ** 2;
  const heard = heardRate ? 1 / heardRate.u ** 2 : 0;
  const known = sources.add(
    heardRate ? ((heardRate.value - 1) * heard) / (clocks + heard) : 0,
    heardRate ? 1 / Math.sqrt(clocks + heard) : CLOCK_RATE_U,
  );
  // About their weighted middle, offset and rate come out apart.
  const away = moments.map(({ own }) => own.value - at);
  const told = away.reduce((sum, t, k) => sum + weights[k]! * t * t, 0);
  const tilt = told + clocks + heard;
  const apart = moments.map(({ first, own }) =>
    weightedSum([
      [1, first],
      [-1, own],
    ]),
  );
  const offset = weightedSum(apart.map((d, k) => [weights[k]! / whole, d]));
  const faster = weightedSum([
    ...apart.map((d, k) => [(weights[k]! * away[k]!) / tilt, d] as const),
    [(clocks + heard) / tilt, known],
  ]);
  const rate = weightedSum([
    [1, exactly(1)],
    [1, faster],
  ]);
  const toFirst = (own: Uncertain): Uncertain =>
    weightedSum([
      [1, own],
      [1, offset],
      [
        1,
        product(
          faster,
          weightedSum([
            [1, own],
            [-at, ONE],
          ]),
        ),
      ],
    ]);
  return { offset, rate, at, loose: 0, toFirst };
}

const ONE = exactly(1);
