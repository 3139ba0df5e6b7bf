/** A straight line through what lies around a frame: the nearer the more it counts. */

export interface Sample {
  readonly frame: number;
  readonly x: number;
  readonly y: number;
}

export interface Kernel {
  /** Frames. */
  readonly window: number;
  /** Frames squared, as the samples' own spread in time. */
  readonly beforehand: number;
}

/** Both in real seconds. */
export const kernel = (windowS: number, beforehandS: number, ratePerS: number): Kernel => ({
  window: windowS * ratePerS,
  beforehand: (beforehandS * ratePerS) ** 2,
});

/** How much each sample counts: the nearer the more (Gaussian); beyond the last sample as at it. */
function weightsAt(samples: readonly Sample[], frame: number, window: number): number[] {
  const away = samples.map((s) => Math.abs(s.frame - frame));
  const least = Math.min(...away);
  return away.map((a) => Math.exp(-0.5 * ((a - least) / window) ** 2));
}

/**
 * A straight line through what `of` says of the samples around the frame, taken on it.
 *
 * @param slope what is known of it beforehand, a frame
 */
export function localLine(
  samples: readonly Sample[],
  of: (s: Sample) => number,
  frame: number,
  kernel: Kernel,
  slope: number,
): number {
  return lineAt(samples, of, frame, kernel, slope).value;
}

/** The same line, with its slope, a frame. */
export function lineAt(
  samples: readonly Sample[],
  of: (s: Sample) => number,
  frame: number,
  { window, beforehand }: Kernel,
  beforehandSlope: number,
): { readonly value: number; readonly slope: number } {
  const weights = weightsAt(samples, frame, window);
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = (what: (s: Sample) => number) =>
    samples.reduce((sum, s, i) => sum + (weights[i] as number) * what(s), 0) / total;
  const middle = mean((s) => s.frame);
  const rises = mean((s) => (s.frame - middle) * of(s)) + beforehand * beforehandSlope;
  const spread = mean((s) => (s.frame - middle) ** 2) + beforehand;
  const slope = rises / spread;
  return { value: mean(of) + slope * (frame - middle), slope };
}

/** How far from their path the samples around the frame lie at most, in the samples' own unit. */
export function offPath(samples: readonly Sample[], frame: number, path: Kernel): number {
  const weights = weightsAt(samples, frame, path.window);
  const off = samples.map((s, i) =>
    (weights[i] as number) < 0.5
      ? 0
      : Math.hypot(
          s.x - localLine(samples, (k) => k.x, s.frame, path, 0),
          s.y - localLine(samples, (k) => k.y, s.frame, path, 0),
        ),
  );
  return Math.max(...off);
}
