import { leastSquares } from "../ice/leastSquares.ts";
import { deriveOne, linearised, type Uncertain } from "../uncertainty/uncertain.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** Mean speed over a stretch of time. */
export interface StretchSpeed {
  /** Real seconds of the clip at which the stretch begins and ends. */
  readonly from: number;
  readonly to: number;
  readonly speed: Uncertain;
}

/** v(t) = top − lag · exp(−(t − t₀)/τ) from the first stretch's beginning t₀ on. */
export interface SprintFit {
  /** Speed the curve tends to, m/s. */
  readonly top: Uncertain;
  /** Time constant τ, seconds. */
  readonly tau: Uncertain;
  /** Real seconds of the clip at which the curve has no speed yet: the start, where there was one from rest. */
  readonly start: Uncertain;
  /** Weighted misfit, in standard deviations of the speeds. */
  readonly misfit: number;
}

/** Three parameters, and something left to see whether the curve fits. */
const FEWEST = 5;
/** The curve is worth showing when its top speed is known to this share of itself, and τ to that of itself. */
const TOP_SHARE = 0.1;
const TAU_SHARE = 0.5;
/** Misfit from which the speeds are no such curve. */
const POOR_FIT = 3;

/**
 * The usual curve of a sprint from rest, speed tending to a top speed with one time constant, through measured mean
 * speeds, each meant over its own stretch. The filmed stretch need not contain the start.
 *
 * Least squares by the speeds' own uncertainties; neighbouring speeds share marks, which the result's uncertainty
 * counts.
 *
 * @throws {Unmeasurable} with fewer than five speeds, or where they do not tell top speed from time constant
 * @see Furusawa, Hill & Parkinson (1927), Proc. R. Soc. B 102, 29-42: v = vmax (1 − exp(−t/τ)) [memory]
 */
export function sprintCurve(stretches: readonly StretchSpeed[]): SprintFit {
  const n = stretches.length;
  if (n < FEWEST) {
    throw new Unmeasurable(
      `A sprint curve needs ${FEWEST} along-track speeds or more; this trial gives ${n}. Mark more strides, or film so that along-track speed can be had.`,
    );
  }
  const zero = Math.min(...stretches.map((s) => s.from));
  const span = Math.max(...stretches.map((s) => s.to)) - zero;
  const fastest = Math.max(...stretches.map((s) => s.speed.value));
  const slowest = Math.min(...stretches.map((s) => s.speed.value));
  const mean = ([top, lag, logTau]: readonly number[], { from, to }: StretchSpeed) => {
    const tau = Math.exp(logTau!);
    const fall = Math.exp(-(from - zero) / tau) - Math.exp(-(to - zero) / tau);
    return top! - (lag! * tau * fall) / (to - from);
  };
  const fit = leastSquares(
    (p) => stretches.map((s) => (s.speed.value - mean(p, s)) / s.speed.u),
    [fastest, Math.max(0.5, 1.5 * (fastest - slowest)), Math.log(span / 2)],
  );
  const flat = () =>
    new Unmeasurable(
      "Over the filmed stretch the speed does not change in a way that tells a top speed from how fast it is reached. Film more of the acceleration.",
    );
  if (!fit.gain || !fit.parameters.every(Number.isFinite)) throw flat();
  const misfit = Math.sqrt(fit.sumOfSquares / (n - 3));
  if (misfit > POOR_FIT) {
    throw new Unmeasurable(
      `The speeds are no such curve: they lie ${misfit.toFixed(1)} times their uncertainty from it. Check the blade-offs and the scale of the ice.`,
    );
  }
  const { gain } = fit;
  const parameter = (row: number): Uncertain =>
    linearised(
      fit.parameters[row]!,
      stretches.map((s, k) => [-gain.get(row, k) / s.speed.u, s.speed] as const),
    );
  const [top, lag, logTau] = [parameter(0), parameter(1), parameter(2)];
  const tau = deriveOne((l) => Math.exp(l), [logTau]);
  // A curve that falls, or whose top speed or time is a guess, is not shown.
  if (lag.value <= 0 || top.u95 > TOP_SHARE * top.value || tau.u95 > TAU_SHARE * tau.value) throw flat();
  const start = deriveOne((v, l, t) => zero + t * Math.log(l / v), [top, lag, tau]);
  return { top, tau, start, misfit };
}
