import { leastSquares, type Problem } from "../../ice/numeric/leastSquares.ts";
import { deriveOne, linearised, type Uncertain } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";

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
      `A sprint curve needs ${FEWEST} along-track speeds or more; this trial gives ${n}. Mark more strides, or film so that along-track speed can be measured.`,
    );
  }
  const zero = Math.min(...stretches.map((s) => s.from));
  const span = Math.max(...stretches.map((s) => s.to)) - zero;
  const fastest = Math.max(...stretches.map((s) => s.speed.value));
  const slowest = Math.min(...stretches.map((s) => s.speed.value));
  const start: Curve = [fastest, Math.max(0.5, 1.5 * (fastest - slowest)), Math.log(span / 2)];
  const fit = leastSquares(curveProblem(stretches, zero), start);
  const flat = () =>
    new Unmeasurable(
      "Over the filmed stretch the speed does not change in a way that tells a top speed from how fast it is reached. Film more of the acceleration.",
    );
  if (!fit.gain || !fit.state.every(Number.isFinite)) throw flat();
  const misfit = Math.sqrt(fit.sumOfSquares / (n - 3));
  if (misfit > POOR_FIT) {
    throw new Unmeasurable(
      `The speeds do not follow such a curve: they lie ${misfit.toFixed(1)} times their uncertainty from it. Check the blade-offs and the scale of the ice.`,
    );
  }
  const { gain } = fit;
  const parameter = (row: number): Uncertain =>
    linearised(
      fit.state[row]!,
      stretches.map((s, k) => [gain[row]![k]! / s.speed.u, s.speed] as const),
    );
  const [top, lag, logTau] = [parameter(0), parameter(1), parameter(2)];
  const tau = deriveOne((l) => Math.exp(l), [logTau]);
  // A curve that falls, or whose top speed or time is a guess, is not shown.
  if (lag.value <= 0 || top.u95 > TOP_SHARE * top.value || tau.u95 > TAU_SHARE * tau.value) throw flat();
  const atRest = deriveOne((v, l, t) => zero + t * Math.log(l / v), [top, lag, tau]);
  return { top, tau, start: atRest, misfit };
}

/** Top speed (m/s), how far the first stretch's beginning lags behind it, and the logarithm of τ (s). */
type Curve = readonly [top: number, lag: number, logTau: number];

/** The curve by the stretches' mean speeds, time counted from `zero`. */
function curveProblem(stretches: readonly StretchSpeed[], zero: number): Problem<Curve> {
  /** What a lag of one takes from the mean speed over a stretch, and its change with log τ. */
  const lost = (logTau: number, { from, to }: StretchSpeed) => {
    const tau = Math.exp(logTau);
    const [a, b] = [(from - zero) / tau, (to - zero) / tau];
    const fall = Math.exp(-a) - Math.exp(-b);
    const perTime = tau / (to - from);
    return { share: perTime * fall, byLogTau: perTime * (fall + a * Math.exp(-a) - b * Math.exp(-b)) };
  };
  const n = stretches.length;
  return {
    observations: n,
    parameters: 3,
    residuals([top, lag, logTau], into) {
      stretches.forEach((s, k) => {
        into[k] = (top - lag * lost(logTau, s).share - s.speed.value) / s.speed.u;
      });
    },
    slopes([, lag, logTau], into) {
      stretches.forEach((s, k) => {
        const { share, byLogTau } = lost(logTau, s);
        into[k] = 1 / s.speed.u;
        into[n + k] = -share / s.speed.u;
        into[2 * n + k] = (-lag * byLogTau) / s.speed.u;
      });
    },
    moved: ([top, lag, logTau], by) => [top + by[0]!, lag + by[1]!, logTau + by[2]!],
  };
}
