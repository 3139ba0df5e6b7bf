import { median } from "../../statistics/median.ts";
import { phaseCorrelation } from "./phaseCorrelation.ts";
import type { SoundTrack } from "./soundTrack.ts";

/** By how much the second track's clock must be moved so that both hear the same then. */
export interface Lag {
  /** Added to the second track's clock to give the first one's, seconds. */
  readonly offset: number;
  /** How far apart what agrees about as well lies (standard deviation), seconds: echoes, and sounds from other places. */
  readonly sd: number;
  /** Middle of the stretch that both have, seconds of the second track's clock, and how long it is. */
  readonly at: number;
  readonly overlap: number;
  /**
   * Seconds of the first clock in one of the second, by how the lag differs from the first half to the second, its standard deviation,
   * and how far the halves' middles are apart; null where they are too short, or one does not tell.
   */
  readonly rate: { readonly value: number; readonly sd: number; readonly seconds: number } | null;
}

type Offset = Omit<Lag, "rate">;
type OffsetFound = { readonly lag: Offset } | { readonly lag: null; readonly why: string };

export type LagFound = { readonly lag: Lag } | { readonly lag: null; readonly why: string };

/** Seconds: what cameras up to 50 m apart hear of sounds anywhere lies within this of the middle. */
const REACH = 0.15;
/** Nothing nearer to the best than this counts as another answer, seconds. */
const ELSEWHERE = 2 * REACH;
/** Lags count by how much the square of what agrees exceeds this many standard deviations of chance. Of 10⁶ lags 60 do. */
const STRONG = 4;
/** Together at least so much. [tracks that share nothing had 10 at most: tests/views/soundLag.test.ts] */
const LEAST = 40;
/** What agrees elsewhere must be less than this share of the best. [judgement] */
const RIVAL = 0.5;
/** Tracks that overlap by less can't be compared, seconds. [judgement] */
export const LEAST_OVERLAP = 2;
/** Chance is judged over so many seconds of lags: sounds that are not the same agree somewhat wherever both are loud. */
const NEIGHBOURS = 0.02;
/** A bang and what the hall answers, seconds before and after its loudest moment. */
const BANG = [0.25, 0.75] as const;
/** How long a track takes to fade in or out where the recording begins and ends, seconds: a hum cut off faster is a sound of its own. */
const FADE = 0.4;
/** About a bang that is blanked: no longer, as the next clap comes within half a second. */
const BANG_FADE = 0.1;
/** Loudness is taken over so many seconds. */
const MOMENT = 0.05;

const NOTHING =
  "what the two have in common is no more than chance: they share no sound, or too few. Clap three times, unevenly, where both cameras hear it";
const ONE_BANG =
  "only one bang agrees, and each may have heard another one. Clap three times, unevenly, where both cameras hear it";
const TWO_WAYS = "they fit about as well in two ways, as with an echo or music that repeats";

/**
 * The lag at which two tracks hear the same. It must stand out from chance and from every other lag, and be found again without the
 * loudest moment.
 */
export function soundLag(first: SoundTrack, second: SoundTrack): LagFound {
  const found = foundTwice(first, second);
  return found.lag === null ? found : { lag: { ...found.lag, rate: rateOf(first, second, found.lag) } };
}

function foundTwice(first: SoundTrack, second: SoundTrack): OffsetFound {
  for (const [k, { samples, rate }] of [first, second].entries()) {
    const whose = k === 0 ? "the first" : "the second";
    if (samples.length < LEAST_OVERLAP * rate)
      return refused(`the sound of ${whose} lasts less than ${LEAST_OVERLAP} s`);
    if (samples.every((x) => x === samples[0])) return refused(`the sound of ${whose} is silence`);
  }
  const [one, two] = [faded(first), faded(second)];
  const whole = strongest(one, two, null);
  if (whole.lag === null) return whole;
  const { lag } = whole;
  const loudest = loudestMoment(one, two, lag.offset);
  const without = strongest(blanked(one, loudest), blanked(two, loudest - lag.offset), lag.offset);
  if (without.lag === null) return refused(ONE_BANG);
  return { lag: { ...lag, sd: Math.max(lag.sd, Math.abs(without.lag.offset - lag.offset) / 2) } };
}

/** Halves shorter than this say nothing of the rate, seconds: a clock a thousandth fast gains too little in them. [judgement] */
const LEAST_HALF = 20;

function rateOf(first: SoundTrack, second: SoundTrack, { offset, at, overlap }: Offset): Lag["rate"] {
  if (overlap < 2 * LEAST_HALF) return null;
  const [early, late] = [-overlap / 2, 0].map((from) => {
    const own = cut(second, at + from, at + from + overlap / 2);
    return foundTwice(cut(first, own.begins + offset, endOf(own) + offset), own).lag;
  });
  if (!early || !late) return null;
  const seconds = late.at - early.at;
  const gained = late.offset - early.offset;
  // Each half's peak is of some moment of it, not known which: flat over half of the whole.
  const when = (gained * Math.SQRT2) / Math.sqrt(12);
  return { value: 1 + gained / seconds, sd: Math.hypot(early.sd, late.sd, when) / seconds, seconds };
}

/** What lies between two moments of a track's own clock. */
function cut({ rate, begins, samples }: SoundTrack, from: number, to: number): SoundTrack {
  const first = Math.max(0, Math.round((from - begins) * rate));
  const end = Math.max(first, Math.round((to - begins) * rate));
  return { rate, begins: begins + first / rate, samples: samples.subarray(first, end) };
}

/** When a track ends, seconds of its own clock. */
export function endOf({ begins, samples, rate }: SoundTrack): number {
  return begins + samples.length / rate;
}

function refused(why: string): { readonly lag: null; readonly why: string } {
  return { lag: null, why };
}

/** @param near look only at lags about this offset, seconds; null = at all */
function strongest(first: SoundTrack, second: SoundTrack, near: number | null): OffsetFound {
  const { rate } = first;
  const reach = Math.round(REACH * rate);
  const excess = overChance(phaseCorrelation(first, second), Math.round(NEIGHBOURS * rate));
  const together = pooled(excess, reach);
  const [from, to] = window(first, second, near);
  const best = highest(together, from, to);
  if (best === null || together[best]! < LEAST) return refused(NOTHING);
  const beside = Math.round(ELSEWHERE * rate);
  for (const other of [highest(together, from, best - beside), highest(together, best + beside, to)])
    if (other !== null && together[other]! > RIVAL * together[best]!) return refused(TWO_WAYS);
  const { peak, sd } = peakOf(excess, best, reach);
  const offset = first.begins - second.begins + (peak - (second.samples.length - 1)) / rate;
  const begins = Math.max(second.begins, first.begins - offset);
  const ends = Math.min(endOf(second), endOf(first) - offset);
  // A peak lies between samples.
  return {
    lag: { offset, sd: Math.hypot(sd, 0.5) / rate, at: (begins + ends) / 2, overlap: ends - begins },
  };
}

/** Entries to look at: lags at which the tracks overlap enough, or those about an offset. */
function window(first: SoundTrack, second: SoundTrack, near: number | null): [from: number, to: number] {
  const [a, b, { rate }] = [first.samples.length, second.samples.length, first];
  const least = Math.round(LEAST_OVERLAP * rate);
  if (near === null) return [least, a + b - 1 - least];
  const about = (near - first.begins + second.begins) * rate + b - 1;
  return [Math.round(about - REACH * rate), Math.round(about + REACH * rate)];
}

/** Of each lag, by how much its square exceeds what chance does now and then, in variances; mostly 0. */
function overChance(values: Float64Array, block: number): Float64Array {
  // Half of a normal distribution lies within 0.6745 of its middle.
  const spread = (part: Float64Array) => median(Array.from(part, Math.abs)) / 0.6745;
  const blocks = Array.from({ length: Math.ceil(values.length / block) }, (_, k) =>
    spread(values.subarray(k * block, (k + 1) * block)),
  );
  const everywhere = median(blocks);
  return values.map((x, k) => {
    const at = Math.floor(k / block);
    const chance = Math.max(everywhere, blocks[at - 1] ?? 0, blocks[at]!, blocks[at + 1] ?? 0);
    // Of silence nothing agrees.
    return chance > 0 ? Math.max(0, (x / chance) ** 2 - STRONG ** 2) : 0;
  });
}

/** Root of the sum of squares over `reach` to both sides: a few sharp peaks count for more than many low ones. */
function pooled(excess: Float64Array, reach: number): Float64Array {
  const n = excess.length;
  const sums = new Float64Array(n + 1);
  for (let k = 0; k < n; k++) sums[k + 1] = sums[k]! + excess[k]! ** 2;
  return excess.map((_, k) => Math.sqrt(sums[Math.min(n, k + reach + 1)]! - sums[Math.max(0, k - reach)]!));
}

function highest(values: Float64Array, from: number, to: number): number | null {
  let best: number | null = null;
  for (let k = Math.max(0, from); k < Math.min(to, values.length); k++)
    if (best === null || values[k]! > values[best]!) best = k;
  return best;
}

/** The strongest entry about another, and how far those at least half as strong lie from it, entries (root mean square). */
function peakOf(excess: Float64Array, about: number, reach: number): { peak: number; sd: number } {
  const peak = highest(excess, about - reach, about + reach + 1)!;
  let [whole, squares] = [0, 0];
  for (let k = Math.max(0, about - reach); k <= Math.min(excess.length - 1, about + reach); k++) {
    if (excess[k]! < excess[peak]! / 2) continue;
    whole += excess[k]!;
    squares += excess[k]! * (k - peak) ** 2;
  }
  return { peak, sd: Math.sqrt(squares / whole) };
}

/** When both tracks laid over each other are loudest together, seconds of the first one's clock. */
function loudestMoment(first: SoundTrack, second: SoundTrack, offset: number): number {
  const from = Math.max(first.begins, second.begins + offset);
  const to = Math.min(endOf(first), endOf(second) + offset);
  let [best, at] = [-1, from];
  for (let t = from; t < to; t += MOMENT / 2) {
    const both = loudness(first, t) * loudness(second, t - offset);
    if (both > best) [best, at] = [both, t];
  }
  return at;
}

/** Mean square of the differences from sample to sample, which leaves hum out. */
function loudness({ rate, begins, samples }: SoundTrack, t: number): number {
  const from = Math.max(1, Math.round((t - begins - MOMENT / 2) * rate));
  const to = Math.min(samples.length, Math.round((t - begins + MOMENT / 2) * rate));
  let sum = 0;
  for (let i = from; i < to; i++) sum += (samples[i]! - samples[i - 1]!) ** 2;
  return sum / Math.max(1, to - from);
}

/** Faded in and out: where a steady tone is cut off it would be a sound of its own, and the same one in both tracks. */
function faded(track: SoundTrack): SoundTrack {
  const [from, to] = [track.begins, endOf(track)];
  return louder(track, (t) => Math.min(risen((t - from) / FADE), risen((to - t) / FADE)));
}

/** Silent about a moment, faded out before it and in after it. */
function blanked(track: SoundTrack, t: number): SoundTrack {
  const [from, to] = [t - BANG[0], t + BANG[1]];
  return louder(track, (at) => Math.max(risen((from - at) / BANG_FADE), risen((at - to) / BANG_FADE)));
}

/** A track whose samples are taken so many times, by their moments. */
function louder(track: SoundTrack, times: (t: number) => number): SoundTrack {
  const { rate, begins } = track;
  return { ...track, samples: track.samples.map((x, i) => Math.round(x * times(begins + i / rate))) };
}

/** From 0 to 1 without a corner. */
function risen(share: number): number {
  return (1 - Math.cos(Math.PI * Math.min(1, Math.max(0, share)))) / 2;
}
