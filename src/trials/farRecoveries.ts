import { MeasureError } from "../errors.ts";
import { type StrideEvents, strideOrder } from "../kinematics/trial/strideOrder.ts";
import type { Warning } from "../reading.ts";
import { median } from "../statistics/median.ts";
import type { WholeStudy } from "../study/types.ts";
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
  const all = trials
    .filter((t) => t.valid || t === trial)
    .map((t) => ({ t, times: recoveries(whole, t.id) }));
  const own = all.find(({ t }) => t === trial)!.times;
  const pool = (others: typeof all) => others.flatMap(({ t, times }) => (t === trial ? [] : times));
  const skaters = pool(all.filter(({ t }) => t.skater === trial.skater));
  const everybodys = pool(all);
  return own.flatMap((at) => {
    const rest = own.filter((o) => o !== at);
    const against = compared(at.seconds, [...skaters, ...rest], [...everybodys, ...rest]);
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

function recoveries({ study, marks }: WholeStudy, trialId: string): Recovery[] {
  const { events = [], picture = null } = marks[trialId] ?? {};
  // As the number itself is computed: from the middle of the interval that each event lies in.
  const { blade_on, blade_off } = EVENT_OFFSET_FRAMES;
  const later = (blade_on - blade_off) * (picture?.frameInterval ?? 0);
  const speedFactor = study.trials.find((t) => t.id === trialId)?.speedFactor ?? 1;
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

/** What the time is far from, in words; null when it is not. */
function compared(seconds: number, own: readonly Recovery[], everybodys: readonly Recovery[]): string | null {
  const [whose, others, share] =
    own.length >= ENOUGH
      ? (["this skater’s others", own, OF_OWN] as const)
      : (["the others of this study", everybodys, OF_OTHERS] as const);
  if (others.length < ENOUGH) {
    return seconds >= SHORTEST && seconds <= LONGEST
      ? null
      : `what sprinting skaters do (${SHORTEST} to ${LONGEST} s)`;
  }
  const times = others.map((o) => o.seconds);
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
