import { type AtPoint, alongZone, type PlannedQuantity, refusalAt } from "../ice/placement/alongZone.ts";
import { entryOf, hasMean, type TrialQuantity } from "../quantities/catalogue.ts";
import { median } from "../statistics/median.ts";
import type { Band, Study, Trial } from "../study/types.ts";
import { formatNumber, placesFor, withUnit } from "../uncertainty/format.ts";
import type { ReadingOf } from "./techniqueCheck.ts";

/** What a trial measures; null where nobody has worked it out yet. */
type AtHand = (trial: string) => ReturnType<ReadingOf> | null;

/** What a band can be told by. */
export interface BandWorth {
  /** Half-width of the 95 % interval of a trial's mean; null where the planned camera would not measure it. */
  readonly u95: number | null;
  /** How well the quantity is measured here, or why not, in a sentence. */
  readonly words: string;
  /** Why no trial could be shown to lie in the band, and what to do; null where some could. */
  readonly tooNarrow: string | null;
}

/** Strides a trial's mean is reckoned to be of, where none is measured yet. [common practice, no source] */
const STRIDES = 4;
const DEG = 180 / Math.PI;
/** One arm swing's direction, degrees, about the same from every still view up to 14 m (docs/precision.md 10). */
const DIRECTION_U95 = 18;

/** What a camera's place tells of: each of these has to be measured there. */
const PLANNED: Partial<Record<TrialQuantity, readonly PlannedQuantity[]>> = {
  stride_width_m: ["strideWidth"],
  touchdown_to_track_midline_m: ["touchdown"],
  recovery_to_midline_m: ["recovery"],
  stride_length_m: ["strideLength"],
  arm_swing_angle_deg: ["armForeAft", "armAcross"],
};
/** Points of the lane that are looked at. */
const POINTS = 31;

/** No mean lies beyond these. */
const ENDS: Partial<Record<TrialQuantity, readonly [number, number]>> = {
  arm_swing_direction_deg: [0, 90],
  arm_swing_angle_deg: [0, 180],
};

/**
 * How well a band's quantity is measured: by the technique's trials that are measured, else by all that are, else as the planned
 * camera would measure it where it measures it at all. Null where none of these tells.
 *
 * @param technique id of the technique whose band it is
 */
export function bandWorth(study: Study, technique: string, band: Band, readingOf: AtHand): BandWorth | null {
  const { quantity } = band;
  if (!hasMean(quantity)) return null;
  const own = study.trials.filter((t) => t.technique === technique);
  const had =
    measured(own, quantity, readingOf) ??
    measured(study.trials, quantity, readingOf) ??
    planned(study, quantity);
  if (!had) return null;
  if ("why" in had) return { u95: null, words: had.why, tooNarrow: null };
  const { u95 } = had;
  const [low, high] = ENDS[quantity] ?? [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  const width = Math.min(band.max ?? high, high) - Math.max(band.min ?? low, low);
  const { unit } = entryOf(quantity);
  const sized = (v: number) => withUnit(formatNumber(v, Math.max(0, placesFor(u95))), unit);
  // An open edge is never overstepped, so only a typed one needs its ±.
  const typed = [band.min, band.max].filter((edge) => edge !== undefined).length;
  const isNarrow = Number.isFinite(width) && width > 0 && width < typed * u95;
  return {
    u95,
    words: had.words(sized(u95)),
    tooNarrow: isNarrow
      ? `The band is ${sized(width)} wide, and ± ${sized(u95)} takes up ${sized(typed * u95)}: no trial could be shown to lie in it. Widen it, film from nearer or mark more strides.`
      : null,
  };
}

interface Had {
  readonly u95: number;
  words(size: string): string;
}

function measured(trials: readonly Trial[], quantity: TrialQuantity, readingOf: AtHand): Had | null {
  const found = trials.flatMap(({ id }) => {
    const reading = readingOf(id);
    const mean = reading?.ok ? reading.value.trial[quantity] : null;
    return mean && "mean" in mean ? [mean.u95] : [];
  });
  if (found.length === 0) return null;
  const where = found.length === 1 ? "in the one measured trial" : `in ${found.length} measured trials`;
  return { u95: median(found), words: (size) => `A trial's mean is measured to about ± ${size} (${where}).` };
}

function planned(study: Study, quantity: TrialQuantity): Had | { readonly why: string } | null {
  const { cameraPlan, lane, markSdPx } = study;
  const of = PLANNED[quantity];
  if (quantity === "arm_swing_direction_deg")
    return expected(DIRECTION_U95, "from one camera up to 14 m away");
  if (!of || !cameraPlan || lane.distance <= 0) return null;
  const points = alongZone(cameraPlan, [0, lane.distance], markSdPx, POINTS);
  const refusal = (point: AtPoint) => of.map((one) => refusalAt(point, one)).find((why) => why !== null);
  const [first, ...others] = points.filter((point) => refusal(point) === undefined);
  if (!first) {
    const { name } = entryOf(quantity);
    // A reason beside "not in the picture" says more where there is one.
    const why = refusal(points.find((point) => point.seen) ?? points[0]!);
    return { why: `The planned camera would not measure ${name} anywhere on the lane. ${why}` };
  }
  const seen = [first, ...others];
  const unit = entryOf(quantity).unit === "°" ? DEG : 1;
  const one = median(seen.map(({ expected: e }) => unit * Math.max(...of.map((k) => e[k]))));
  const [from, to] = [first.x, seen.at(-1)!.x].map((x) => formatNumber(x, 0));
  const part =
    seen.length === points.length ? "" : `, between ${from} and ${withUnit(`${to}`, "m")} of the lane`;
  return expected(one, `from the planned camera${part}`);
}

/** @param one of a single stride or swing */
function expected(one: number, where: string): Had {
  return {
    u95: one / Math.sqrt(STRIDES),
    words: (size) => `Expect a trial's mean of four strides to about ± ${size} ${where}.`,
  };
}
