import { MeasureError } from "../errors.ts";
import { type StrideEvents, strideOrder } from "../kinematics/trial/strideOrder.ts";
import type { Warning } from "../reading.ts";
import { median } from "../statistics/median.ts";
import type { Trial, TrialMarks, WholeStudy } from "../study/types.ts";
import { EVENT_OFFSET_FRAMES } from "../time/eventTime.ts";
import { realSeconds } from "../time/speedFactor.ts";
import { formatNumber } from "../uncertainty/format.ts";

/** A recovery time that is far from what there is to compare it with. */
export interface FarRecovery extends Warning {
  readonly stride: number;
  readonly seconds: number;
}

/** So many others show what is usual. */
const ENOUGH = 4;
/** The median absolute deviation of a normal distribution times this is its standard deviation, 1/Φ⁻¹(3/4). */
const MAD_TO_SD = 1.4826;
/** Further than so many robust standard deviations, and than a share of the median: a skater's own vary less, others' more. A judgement. */
const FAR_SD = 5;
const [OF_OWN, OF_OTHERS] = [0.4, 0.6];
/** Seconds a blade is off the ice between two pushes of a sprint. Common practice, no source; wide on purpose. */
const [SHORTEST, LONGEST] = [0.08, 1];

/**
 * Recovery times of a trial that are far from the same skater's others (this trial's and other trials'), or where there
 * are too few of those, from everybody's in the study, or from what sprinting skaters do at all: most often one of the
 * two frames is a wrong one. Needs events only.
 */
export function farRecoveries(whole: WholeStudy, trialId: string): FarRecovery[] {
  const { trials } = whole.study;
  const trial = trials.find((t) => t.id === trialId);
  if (!trial) return [];
  const of = (t: Trial) => recoveries(whole.marks[t.id], t.speedFactor);
  const own = of(trial);
  const others = trials.filter((t) => t.valid && t !== trial);
  const skaters = others.filter((t) => t.skater === trial.skater).flatMap(of);
  const fromOwn = skaters.length + own.length - 1 >= ENOUGH;
  const pool = fromOwn ? skaters : others.flatMap(of);
  return own.flatMap((at) => {
    const rest = [...pool, ...own.filter((o) => o !== at)].map((o) => o.seconds);
    const against = compared(at.seconds, rest, fromOwn);
    if (against === null) return [];
    const { side, stride, off, on } = at.events;
    return [
      {
        code: "far-recovery",
        stride,
        seconds: at.seconds,
        text: `The recovery time of stride ${stride}, ${formatNumber(at.seconds, 3)} s, is far from ${against}. Look at the ${side} blade-on of frame ${on!.frame} and the blade-off of frame ${off.frame} again.`,
      },
    ];
  });
}

interface Recovery {
  readonly seconds: number;
  readonly events: StrideEvents;
}

/** One trial's are asked for once for every other trial of the study. */
const known = new WeakMap<
  TrialMarks,
  { readonly speedFactor: number; readonly found: readonly Recovery[] }
>();

function recoveries(marks: TrialMarks | undefined, speedFactor: number): readonly Recovery[] {
  if (!marks) return [];
  const before = known.get(marks);
  if (before?.speedFactor === speedFactor) return before.found;
  const found = recoveriesOf(marks, speedFactor);
  known.set(marks, { speedFactor, found });
  return found;
}

function recoveriesOf({ events, picture }: TrialMarks, speedFactor: number): Recovery[] {
  // As the number itself is computed: from the middle of the interval that each event lies in.
  const { blade_on, blade_off } = EVENT_OFFSET_FRAMES;
  const later = (blade_on - blade_off) * (picture?.frameInterval ?? 0);
  return inOrder(events).flatMap((at) =>
    at.on ? [{ seconds: realSeconds(at.on.time - at.off.time + later, speedFactor), events: at }] : [],
  );
}

/** Events that cannot all be true are said where the trial is measured. */
function inOrder(events: Parameters<typeof strideOrder>[0]): StrideEvents[] {
  try {
    return strideOrder(events);
  } catch (error) {
    if (error instanceof MeasureError) return [];
    throw error;
  }
}

/** What the time is far from, in words; null when it is not. `fromOwn`: the others are all this skater's. */
function compared(seconds: number, times: readonly number[], fromOwn: boolean): string | null {
  const whose = fromOwn ? "this skater’s others" : "the others of this study";
  const share = fromOwn ? OF_OWN : OF_OTHERS;
  if (times.length < ENOUGH) {
    return seconds >= SHORTEST && seconds <= LONGEST
      ? null
      : `what sprinting skaters do (${SHORTEST} to ${LONGEST} s)`;
  }
  const usual = median(times);
  const spread = MAD_TO_SD * median(times.map((t) => Math.abs(t - usual)));
  if (Math.abs(seconds - usual) <= Math.max(FAR_SD * spread, share * usual)) return null;
  // Of those compared with, another wrong one would make a range that says nothing: half of them lie in this one.
  const [low, high] = quartiles(times);
  return `${whose} (mostly ${formatNumber(low, 2)} to ${formatNumber(high, 2)} s)`;
}

function quartiles(values: readonly number[]): [number, number] {
  const sorted = values.slice().sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.round(share * (sorted.length - 1))]!;
  return [at(0.25), at(0.75)];
}
