/** A trial as far as its clock matters: the standard uncertainty of a clip's time; absent = the photocells'. */
interface Clocked {
  readonly clipSd?: number;
}

const ownVariance = ({ clipSd = 0 }: Clocked) => clipSd ** 2;

/**
 * What of the variance between repeats, pooled over cells, is the clips' own ±. Around a cell's mean the n trials leave
 * (1 - 1/n) of each one's variance, and all of them share the cells' degrees of freedom, so that
 * E(pooled variance) = variance of a trial without a clock + this.
 *
 * @param cells trials of one skater and technique
 * @see Cochran (1954), Biometrics 10, 101-129: the scatter of results, known variances taken out
 */
export function clipsShare(cells: readonly (readonly Clocked[])[]): number {
  const df = cells.reduce((sum, cell) => sum + Math.max(0, cell.length - 1), 0);
  if (df === 0) return 0;
  const within = (cell: readonly Clocked[]) =>
    (1 - 1 / cell.length) * cell.reduce((sum, t) => sum + ownVariance(t), 0);
  return cells.reduce((sum, cell) => sum + (cell.length < 2 ? 0 : within(cell)), 0) / df;
}

/** SD of one trial between repeats, and what of its square is the clips' own ±. */
export interface Scattering {
  readonly value: number;
  readonly clips: number;
}

/**
 * Variance of one trial: what repeats scatter, moved by how its own clock differs from those of the repeats, and never less
 * than its clock's. Of photocells only it is the square of what repeats scatter; so it is of clips that are all alike.
 */
export function trialVariance({ value, clips }: Scattering, trial: Clocked): number {
  return Math.max(value ** 2 - clips + ownVariance(trial), ownVariance(trial));
}

/** Variance of a mean of trials. */
export function meanVariance(scatter: Scattering, trials: readonly Clocked[]): number {
  return trials.reduce((sum, t) => sum + trialVariance(scatter, t), 0) / trials.length ** 2;
}

/** Of the difference of two such means. */
export function differenceVariance(
  scatter: Scattering,
  { trialsA, trialsB }: { readonly trialsA: readonly Clocked[]; readonly trialsB: readonly Clocked[] },
): number {
  return meanVariance(scatter, trialsA) + meanVariance(scatter, trialsB);
}
