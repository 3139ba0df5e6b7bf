import { mean } from "../statistics/mean.ts";
import { butterworth, zeroLag } from "./butterworth.ts";

/** Cutoffs tried, and from where on only noise is taken to be left, Hz. */
const FIRST = 1;
const LAST = 20;
const NOISE_FROM = 10;

export interface ResidualAnalysis {
  /** Chosen cutoff, Hz; null where the noise line is never met (a still or noiseless track). */
  readonly cutoff: number | null;
  /** Root mean square of what smoothing takes away, for 1, 2 … Hz, in the unit of the samples. */
  readonly residuals: readonly number[];
  /** Straight line through the noise: what noise of this size loses at 0 Hz, and its slope per Hz. */
  readonly intercept: number;
  readonly slope: number;
}

/**
 * Cutoff of a track by residual analysis: smoothing as hard as leaves behind only what the noise would. Above 10 Hz
 * a skater's marks hold nothing but noise; the line through those residuals, carried back to 0 Hz, is the noise.
 *
 * @param samples evenly spaced, more than 9
 * @see Winter (2009), 3.4.4; the answer depends on the range taken for noise, so it is stated here
 */
export function residualCutoff(samples: readonly number[], rate: number): ResidualAnalysis {
  const last = Math.min(LAST, Math.ceil(rate / 2) - 1);
  const noiseFrom = Math.min(NOISE_FROM, last - 2);
  const residuals: number[] = [];
  for (let cutoff = FIRST; cutoff <= last; cutoff++) {
    const smooth = zeroLag(samples, butterworth(cutoff, rate, 2));
    const square = smooth.reduce((sum, y, k) => sum + (samples[k]! - y) ** 2, 0);
    residuals.push(Math.sqrt(square / samples.length));
  }
  const noise = residuals.slice(noiseFrom - FIRST);
  const middleX = (noiseFrom + last) / 2;
  const middleY = mean(noise);
  let top = 0;
  let bottom = 0;
  noise.forEach((r, k) => {
    top += (noiseFrom + k - middleX) * (r - middleY);
    bottom += (noiseFrom + k - middleX) ** 2;
  });
  const slope = top / bottom;
  const intercept = middleY - slope * middleX;
  // Without noise the line is made of rounding.
  const largest = Math.max(...samples.map(Math.abs));
  const under = intercept > 1e-9 * largest ? residuals.findIndex((r) => r <= intercept) : -1;
  const [above, below] = [residuals[under - 1], residuals[under]];
  const cutoff =
    above === undefined || below === undefined
      ? null
      : FIRST + under - 1 + (above - intercept) / (above - below);
  return { cutoff, residuals, intercept, slope };
}
