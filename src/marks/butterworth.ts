import { MeasureError } from "../errors.ts";

/** A filter of second order: y = b0 x + b1 x' + b2 x'' − a1 y' − a2 y'', primes one and two samples ago. */
export interface SecondOrder {
  readonly b: readonly [number, number, number];
  /** First is 1. */
  readonly a: readonly [number, number, number];
}

/** Samples mirrored at each end before filtering. */
const PADDING = 9;

/**
 * Low-pass Butterworth of second order by the bilinear transform.
 *
 * @param cutoff of one pass, Hz, between 0 and half of `rate`
 * @param rate samples a second
 * @param passes 2 = for filtering forward and backward: the cutoff is moved so that both together have half power
 *   at `cutoff`; 1 = as asked
 * @throws {MeasureError} `bad-cutoff`
 * @see Winter (2009), Biomechanics and Motor Control of Human Movement, 4th ed., 3.4: C = (2^(1/n) − 1)^(1/4)
 */
export function butterworth(cutoff: number, rate: number, passes: 1 | 2): SecondOrder {
  if (!(cutoff > 0 && cutoff < rate / 2)) {
    throw new MeasureError(
      "bad-cutoff",
      `butterworth requires a cutoff between 0 and ${rate / 2} Hz; got ${cutoff}`,
      `A track filmed at ${rate} frames a second can be smoothed at more than 0 and less than ${rate / 2} Hz, not at ${cutoff}.`,
      { cutoff, rate },
    );
  }
  const correction = (2 ** (1 / passes) - 1) ** (1 / 4);
  const w = Math.tan((Math.PI * cutoff) / rate) / correction;
  const scale = 1 + Math.SQRT2 * w + w * w;
  const b0 = (w * w) / scale;
  return {
    b: [b0, 2 * b0, b0],
    a: [1, (2 * (w * w - 1)) / scale, (1 - Math.SQRT2 * w + w * w) / scale],
  };
}

/**
 * Forward and backward through a filter, so that nothing is delayed. The ends are extended by point reflection and
 * the filter starts as if the first value had stood for ever.
 *
 * @param samples evenly spaced, more than 9
 * @throws {MeasureError} `track-too-short`
 */
export function zeroLag(samples: readonly number[], filter: SecondOrder): number[] {
  const n = samples.length;
  if (n <= PADDING) {
    throw new MeasureError(
      "track-too-short",
      `zeroLag requires more than ${PADDING} samples; got ${n}`,
      `A track of ${n} frames is too short to smooth; mark at least ${PADDING + 1} frames in a row.`,
      { samples: n },
    );
  }
  const before = Array.from({ length: PADDING }, (_, k) => 2 * samples[0]! - samples[PADDING - k]!);
  const after = Array.from({ length: PADDING }, (_, k) => 2 * samples[n - 1]! - samples[n - 2 - k]!);
  const forward = onePass([...before, ...samples, ...after], filter);
  const both = onePass(forward.reverse(), filter).reverse();
  return both.slice(PADDING, PADDING + n);
}

/** Transposed direct form, started in the steady state of its first sample. */
function onePass(samples: readonly number[], { b, a }: SecondOrder): number[] {
  // Steady state for a constant 1 of unit gain: z2 = b2 − a2, z1 = b1 − a1 + z2.
  let z2 = (b[2] - a[2]) * samples[0]!;
  let z1 = (b[1] - a[1]) * samples[0]! + z2;
  return samples.map((x) => {
    const y = b[0] * x + z1;
    z1 = b[1] * x - a[1] * y + z2;
    z2 = b[2] * x - a[2] * y;
    return y;
  });
}

/** Gain of one pass at a frequency (Hz). */
export function gain({ b, a }: SecondOrder, frequency: number, rate: number): number {
  const w = (2 * Math.PI * frequency) / rate;
  const size = (c: readonly [number, number, number]) =>
    Math.hypot(
      c[0] + c[1] * Math.cos(w) + c[2] * Math.cos(2 * w),
      c[1] * Math.sin(w) + c[2] * Math.sin(2 * w),
    );
  return size(b) / size(a);
}
