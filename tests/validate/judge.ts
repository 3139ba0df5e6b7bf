import { smallestSd } from "./bound.ts";
import type { Figure, MeasureDocument } from "./drive.ts";
import type { FilmedTrial, Picked } from "./film.ts";
import type { Vec } from "./lens.ts";
import type { Push } from "./skater.ts";
import { bladePoint, type Instants, trueStride, trueSwing } from "./truth.ts";

/** One figure the core gave, or refused to give, beside the truth. */
export interface Verdict {
  readonly quantity: string;
  /** What the core's figure is off by; null = refused. */
  readonly error: number | null;
  readonly u95: number;
  /** Whether the interval holds the truth. */
  readonly covered: boolean;
  /** The figure at the marked frames against the truth at these frames; null where there is none. */
  readonly atFrameError: number | null;
  /** Cramér-Rao bound of the figure at the frames, given the marks; null where it is not worked out. */
  readonly bound: number | null;
  /** Whether every blade end the figure rests on touches the ice in its frame. */
  readonly allOnIce: boolean;
  readonly why: string | null;
}

/** Quantities of a stride, in the order of the table. */
export const POSITIONS = [
  "stride_width_m",
  "blade_separation_m",
  "touchdown_to_track_midline_m",
  "half_width_m",
  "recovery_to_midline_m",
  "touchdown_to_midline_m",
  "stride_length_m",
] as const;
const TIMES = ["stride_rate_hz", "recovery_time_s", "blade_off_s", "blade_on_s"] as const;

/** Quantities that rest on blade contacts only: everything in them is on the ice. */
const ON_ICE = new Set<string>(["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m"]);

const ON_ICE_WITHIN = 1e-6;

/**
 * Compares everything the core said of a trial with what happened. Strides the core numbers k are `picked[k - 1]`.
 *
 * @param boundPx SD of the marks where the Cramér-Rao bound is wanted
 * @param sides whether strides may be said to be of the other side than they are: then they are judged as what they are
 */
export function judge(
  film: FilmedTrial,
  said: MeasureDocument,
  boundPx: number | null,
  sides: "as they are" | "whatever the side" = "as they are",
): Verdict[] {
  const { skater, picked, fps, firstPush } = film;
  const verdicts: Verdict[] = [];
  const atEvents = (p: Push): Instants => p;
  /** As the marks show it: the frames that were picked; outside of what was marked, the events themselves. */
  const atFrames = (k: number): Instants => {
    const own = picked[k];
    if (!own) return atEvents(skater.pushes[firstPush + k]!);
    return { foot: own.push.foot, off: own.off / fps, on: own.on / fps, nearest: own.nearest / fps };
  };
  const means = new Map<string, { side: string; truth: number }[]>();
  const swings: JudgedSwing[] = [];
  said.strides.forEach((stride, k) => {
    const p = (m: number) => skater.pushes[firstPush + k + m]!;
    if (sides === "as they are" && stride.side !== p(0).foot)
      throw new Error("the core numbers the strides differently");
    const isFirst = firstPush + k === skater.standsBefore;
    const truth = trueStride(skater, isFirst ? null : atEvents(p(-1)), atEvents(p(0)), atEvents(p(1)));
    const seen = trueStride(skater, isFirst ? null : atFrames(k - 1), atFrames(k), atFrames(k + 1));
    for (const quantity of [...POSITIONS, ...TIMES]) {
      const figure = stride[quantity]!;
      const between = picked[k - 1] !== undefined && picked[k + 1] !== undefined;
      const onIce = ON_ICE.has(quantity) && between && touching(film, k, quantity);
      const given = figure.value !== null;
      verdicts.push({
        quantity,
        ...against(figure, truth[quantity]!),
        atFrameError: figure.at_frame === undefined ? null : figure.at_frame - seen[quantity]!,
        bound:
          boundPx !== null && given && onIce && quantity === "stride_width_m"
            ? widthBound(film, k, boundPx)
            : null,
        allOnIce: onIce,
        why: figure.why ?? null,
      });
      // Its direction of travel is that of a neighbour.
      if (k === 0 && quantity === "touchdown_to_track_midline_m")
        verdicts.push({ ...verdicts[verdicts.length - 1]!, quantity: `first ${quantity}` });
      if (given) {
        const list = means.get(quantity) ?? [];
        list.push({ side: stride.side, truth: truth[quantity]! });
        means.set(quantity, list);
      }
    }
    const arms = judgeArms(film, stride, p(-1), p(1), k);
    verdicts.push(...arms.map(({ verdict }) => verdict));
    swings.push(...arms);
  });
  verdicts.push(...judgeArmMeans(said, swings));
  for (const quantity of POSITIONS) {
    const mean = said.trial[quantity];
    const strides = means.get(quantity) ?? [];
    // Where the mean holds strides that were too doubtful to be shown one by one, which ones is not said.
    if (mean?.mean === undefined || mean.n !== strides.length) continue;
    verdicts.push({
      quantity: `mean ${quantity}`,
      ...against({ ...mean, value: mean.mean }, trueMean(strides, quantity !== "stride_length_m")),
      ...{ atFrameError: null, bound: null, allOnIce: false, why: null },
    });
  }
  return verdicts;
}

/** Error, half-width and coverage of a figure; by its drawn interval where there is one. */
function against(figure: Figure, truth: number): Pick<Verdict, "error" | "u95" | "covered"> {
  const { value, u95 = Number.NaN, monte_carlo: drawn } = figure;
  if (value === null) return { error: null, u95, covered: false };
  const error = value - truth;
  if (!drawn) return { error, u95, covered: Math.abs(error) <= u95 };
  return { error, u95: (drawn.high - drawn.low) / 2, covered: drawn.low <= truth && truth <= drawn.high };
}

/** (mean of left + mean of right) / 2 for positions across the lane; where one side is missing, and along it, the plain mean. */
function trueMean(strides: readonly { side: string; truth: number }[], balanced: boolean): number {
  const mean = (list: readonly { truth: number }[]) =>
    list.reduce((sum, { truth }) => sum + truth, 0) / list.length;
  const [left, right] = ["left", "right"].map((side) => strides.filter((s) => s.side === side));
  if (!balanced || left!.length === 0 || right!.length === 0) return mean(strides);
  return (mean(left!) + mean(right!)) / 2;
}

/** Runner ends that a quantity of stride k rests on, as they are in the marked frames. */
function runnerEnds(film: FilmedTrial, k: number, quantity: string): Vec[] {
  const { skater, picked, fps } = film;
  const ends = (foot: Push["foot"], frame: number) => [
    skater.heel(foot, frame / fps),
    skater.toe(foot, frame / fps),
  ];
  const off = (p: Picked) => ends(p.push.foot, p.off);
  const [before, own, after] = [picked[k - 1]!, picked[k]!, picked[k + 1]!];
  const all = [...off(before), ...off(own), ...off(after)];
  if (quantity === "blade_separation_m")
    all.push(...ends(own.push.foot === "left" ? "right" : "left", own.off));
  if (quantity === "touchdown_to_track_midline_m") all.push(...ends(own.push.foot, own.on));
  return all;
}

function touching(film: FilmedTrial, k: number, quantity: string): boolean {
  return runnerEnds(film, k, quantity).every(([, , z]) => Math.abs(z) < ON_ICE_WITHIN);
}

function widthBound(film: FilmedTrial, k: number, noisePx: number): number {
  const offs = [k - 1, k, k + 1].map((m) => film.viewOf(film.picked[m]!.off));
  const ends = runnerEnds(film, k, "stride_width_m").map((at, m) => ({ at, view: offs[m >> 1]! }));
  return smallestSd(film.filmed, ends, noisePx, (q) => {
    const at = (m: number) => [(q[m]![0] + q[m + 1]![0]) / 2, (q[m]![1] + q[m + 1]![1]) / 2] as const;
    const [a, p, b] = [at(0), at(2), at(4)];
    return (
      ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / Math.hypot(b[0] - a[0], b[1] - a[1])
    );
  });
}

/** Arm swings of a stride: the swing between the arm's extremes about the blade-off before and this one. */
function judgeArms(
  film: FilmedTrial,
  stride: MeasureDocument["strides"][number],
  before: Push,
  after: Push,
  k: number,
): JudgedSwing[] {
  const { skater } = film;
  const own = film.picked[k]!.push;
  return (["left", "right"] as const).flatMap((side) => {
    const near = (p: Push) => film.arms.find((a) => a.side === side && Math.abs(a.time - p.off) < 0.08);
    const ends = [near(before), near(own)];
    const front = ends.find((e) => e?.end === "front");
    const back = ends.find((e) => e?.end === "back");
    if (!front || !back) return [];
    const truth = trueSwing(
      skater,
      side,
      [front.time, back.time],
      bladePoint(skater, before.foot, before.off),
      bladePoint(skater, after.foot, after.off),
    );
    return (["direction", "angle"] as const).map((what): JudgedSwing => {
      const figure = stride[`arm_swing_${what}_deg`][side];
      const verdict = {
        quantity: `arm_swing_${what}_deg`,
        ...against(figure, truth[what]),
        ...{ atFrameError: null, bound: null, allOnIce: false, why: figure.why ?? null },
      };
      return { side, what, truth: what === "angle" ? truth.angle : truth.azimuth, verdict };
    });
  });
}

/** One swing of one arm; of a direction the truth is its azimuth from the travel, with its sense. */
interface JudgedSwing {
  readonly side: "left" | "right";
  readonly what: "direction" | "angle";
  readonly truth: number;
  readonly verdict: Verdict;
}

/**
 * The trial's means of both arms: of directions by the doubled angles. No trial is left out: where a side's mean is of as many
 * swings as were shown its truth is of these, else of all it swung, which is what a reader takes it for.
 */
function judgeArmMeans(said: MeasureDocument, swings: readonly JudgedSwing[]): Verdict[] {
  return (["direction", "angle"] as const).flatMap((what) => {
    const mean = said.trial[`arm_swing_${what}_deg`];
    const all = swings.filter((s) => s.what === what);
    const shown = all.filter((s) => s.verdict.error !== null);
    if (shown.length === 0) return [];
    const rest = { quantity: `mean arm_swing_${what}_deg`, atFrameError: null, bound: null, allOnIce: false };
    if (mean?.mean === undefined)
      return [{ ...rest, ...against({ value: null }, Number.NaN), why: mean?.why ?? null }];
    const arms = (["left", "right"] as const).flatMap((side) => {
      const { n = 0 } = mean[side] ?? {};
      if (n === 0) return [];
      const seen = shown.filter((s) => s.side === side);
      const own = (n === seen.length ? seen : all.filter((s) => s.side === side)).map(({ truth }) => truth);
      const plain = own.reduce((sum, v) => sum + v, 0) / own.length;
      return [what === "angle" ? plain : offTheTravel(own)];
    });
    const truth = arms.reduce((sum, v) => sum + v, 0) / arms.length;
    return [{ ...rest, ...against({ ...mean, value: mean.mean }, truth), why: null }];
  });
}

/** How far the mean axis of some azimuths lies off the travel, 0 to 90 degrees. */
function offTheTravel(azimuths: readonly number[]): number {
  const sum = (f: (x: number) => number) => azimuths.reduce((s, a) => s + f((a * Math.PI) / 90), 0);
  const half = Math.atan2(sum(Math.sin), sum(Math.cos)) / 2;
  return (Math.asin(Math.abs(Math.sin(half))) * 180) / Math.PI;
}
