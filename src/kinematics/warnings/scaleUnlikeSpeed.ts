import type { Warning } from "../../reading.ts";
import { mean } from "../../statistics/mean.ts";
import { formatNumber } from "../../uncertainty/format.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { sprintOf } from "../speed/timedSprint.ts";
import type { GateSprint, Stride } from "../types.ts";

/** Time constants of a sprint from rest, s, each a fifth larger; their logarithms are spread about `USUAL` by `SPREAD`. [judgement] */
const TAUS = Array.from({ length: 14 }, (_, k) => 0.3 * 1.2 ** k);
const [USUAL, SPREAD] = [1, 0.5];
/** How far a stride's speed lies beside such a curve, as a share (SD): pushes are not even. [judgement] */
const STRIDE = 0.04;
/** How far all of them together do: who tires, eases off before the end or is still gaining, flying. [judgement] */
const CURVE = { standing: 0.02, flying: 0.06 } as const;
/** Who starts standing has the front so far before the first gate, metres; and it is so far ahead of a blade that leaves. [judgement] */
const RESTS = [-0.9, -0.5, -0.2];
const LEAD = 0.65;
/** Told three times in a thousand by chance, were all of this normal; and no smaller share than this. */
const SURE = 3;
const LEAST = 0.05;
/** Fewer strides with a speed between the gates say nothing. */
const ENOUGH = 4;
/** Nearer to a start from rest than this the way of the front of the skater, which is timed, is too much of all, metres. */
const CLEAR = 3;

interface Passing {
  readonly x: number;
  readonly speed: number;
  readonly u: number;
}

interface Share {
  /** Measured speed over that of the sprint with this time: how long distances along the lane come out. */
  readonly share: number;
  readonly u: number;
}

export interface LengthShare extends Share {
  /** Mean of the strides' measured speeds, m/s. */
  readonly speed: number;
}

/**
 * How long distances along the lane come out by the time from gate to gate, where strides were marked between the gates: by that time the
 * skater passes each place at a speed that how quickly they gain it leaves little doubt of, and which the strides' own growing speed narrows. A
 * scale that is some per cent long shows them that much faster.
 *
 * From rest each time constant is weighed by how well its curve has the strides' speeds, at any scale, and by what is usual; the share is the
 * mean over all of them, its doubt theirs and that of the marks (not averaged, as strides share the scale's own).
 *
 * @returns null where too few strides between the gates have a speed
 */
export function lengthShare(strides: readonly Stride[], timed: GateSprint | undefined): LengthShare | null {
  if (!timed) return null;
  const [first, last] = timed.gates;
  const from = timed.start === "flying" ? first : Math.max(first, CLEAR);
  const known = strides.flatMap(({ off, alongTrackSpeed: { value, ...rest } }): Passing[] =>
    off && value !== null && "u95" in rest && off.x > from && off.x < last
      ? [{ x: off.x, speed: value, u: rest.u95 / K95 }]
      : [],
  );
  if (known.length < ENOUGH) return null;
  const found = [
    ...(timed.start === "flying" ? [] : [standing(known, timed)]),
    ...(timed.start === "standing" ? [] : [flying(known, timed)]),
  ];
  // Where nobody said how it was started, what either start allows is allowed.
  const nearest = found.reduce((a, b) => (Math.abs(b.share - 1) < Math.abs(a.share - 1) ? b : a));
  return { ...nearest, speed: mean(known.map((k) => k.speed)) };
}

/** The scale along the lane against the time from gate to gate: a warning where they do not go together. */
export function scaleUnlikeSpeed(strides: readonly Stride[], timed: GateSprint | undefined): Warning[] {
  const found = lengthShare(strides, timed);
  if (!found || !timed) return [];
  const { share, u, speed } = found;
  if (Math.abs(share - 1) <= Math.max(SURE * u, LEAST)) return [];
  const percent = (of: number) => (100 * Math.abs(of)).toFixed(0);
  const [pace, what] = share > 1 ? ["fast", "long"] : ["slow", "short"];
  return [
    {
      code: "scale-unlike-speed",
      text: `Between the gates the skater goes at ${formatNumber(speed, 1)} m/s by where the blades are. With ${formatNumber(timed.seconds, 2)} s from gate to gate that is ${percent(share - 1)} ± ${percent(K95 * u)} % too ${pace}, so distances along the lane come out about as much too ${what} (yards taken for metres make them 9 % too long). Check the places of the ice points, where the gates stand, the time, and whether the clip plays at the speed set.`,
    },
  ];
}

/**
 * The time that the speeds, on a straight line along the lane, would take between the gates, against the time taken. What is marked
 * of the lane tells; the rest is on the line, as far as its slope is known.
 */
function flying(known: readonly Passing[], { seconds, gates: [first, last] }: GateSprint): Share {
  const middle = mean(known.map((k) => k.x));
  const level = mean(known.map((k) => k.speed));
  const xx = known.reduce((sum, k) => sum + (k.x - middle) ** 2, 0);
  const slope = known.reduce((sum, k) => sum + (k.x - middle) * k.speed, 0) / xx;
  const pieces = Array.from({ length: 20 }, (_, i) => first + ((last - first) * (i + 0.5)) / 20);
  const at = pieces.map((x) => Math.max(0.3 * level, level + slope * (x - middle)));
  const byPlaces = at.reduce((sum, v) => sum + (last - first) / 20 / v, 0);
  const share = seconds / byPlaces;
  // Of the slope, neighbours sharing strides, over how far the gates' middle lies from that of the marks.
  const slopeU = (STRIDE * level * Math.SQRT2) / Math.sqrt(xx);
  const away = (first + last) / 2 - middle;
  const marked = (Math.max(...known.map((k) => k.x)) - Math.min(...known.map((k) => k.x))) / (last - first);
  const bent = CURVE.flying * (1 - Math.min(1, marked));
  return {
    share,
    u: Math.hypot(marksShare(known), (slopeU * away) / level, bent, scatter(known.length)),
  };
}

function standing(known: readonly Passing[], timed: GateSprint): Share {
  const weighed = RESTS.flatMap((rest) =>
    TAUS.map((tau) => {
      const sprint = sprintOf(timed, tau, rest);
      // The front, which is timed, is ahead of the blade that leaves.
      const at = (x: number) => sprint(x + LEAD);
      // Places come out as much too far as distances too long.
      let share = mean(known.map((k) => k.speed / at(k.x)));
      share = mean(known.map((k) => k.speed / at(k.x / share)));
      const misfit = known.reduce((sum, k) => {
        const own = Math.hypot(k.u, STRIDE * k.speed);
        return sum + ((k.speed - share * at(k.x / share)) / own) ** 2;
      }, 0);
      const usual = Math.log(tau / USUAL) / SPREAD;
      return { share, weight: Math.exp(-0.5 * (misfit / 2 + usual ** 2)) };
    }),
  );
  const all = weighed.reduce((sum, w) => sum + w.weight, 0);
  const share = weighed.reduce((sum, w) => sum + w.weight * w.share, 0) / all;
  const spread = weighed.reduce((sum, w) => sum + w.weight * (w.share - share) ** 2, 0) / all;
  return {
    share,
    u: Math.hypot(Math.sqrt(spread), marksShare(known), CURVE.standing, scatter(known.length)),
  };
}

/** Of the speeds' own ±, as a share: one stride's, as what they share of the scale does not average out. */
function marksShare(known: readonly Passing[]): number {
  return mean(known.map((k) => k.u / k.speed));
}

/** Neighbouring speeds share strides, so half as many count. */
function scatter(n: number): number {
  return STRIDE / Math.sqrt(n / 2);
}
