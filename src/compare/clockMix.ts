import type { OrWhy } from "../reading.ts";
import { mean } from "../statistics/mean.ts";
import type { Lane } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import type { Placed } from "./orderEffect.ts";

/**
 * Standard uncertainty of the photocells themselves, seconds: a stick or arm ahead of the body can break a single
 * beam. Earp & Newton (2012), J Strength Cond Res 26, 1245-1248: SD 12 to 42 ms; the values are a judgement from them.
 */
export const BEAM_SD: Readonly<Record<Lane["gateBeam"], number>> = {
  single: 0.03,
  dual: 0.01,
  "not said": 0.03,
};

/** By which clocks the trials compared are timed. */
export interface ClockMix {
  /** Trials timed by their clips, and by photocells. */
  readonly byClip: number;
  readonly byPhotocells: number;
  /** Share of b's trials that clips timed, less the share of a's; mean over skaters. */
  readonly lean: number;
  /** By how much clips and photocells may differ alike in all trials: standard uncertainty, seconds. */
  readonly offsetSd: number;
  /** Standard uncertainties of the clips' times, seconds, the least and the largest; null without clips. */
  readonly sds: readonly [least: number, largest: number] | null;
}

interface Trials {
  readonly trialsA: readonly Placed[];
  readonly trialsB: readonly Placed[];
}

const isByClip = ({ clipSd }: Placed) => clipSd !== undefined;
const shareByClip = (trials: readonly Placed[]) => mean(trials.map((t) => (isByClip(t) ? 1 : 0)));

/** How much more of a skater's b than of a is timed by clips, -1 to 1: what an offset of the two clocks is multiplied by. */
export function leanOf({ trialsA, trialsB }: Trials): number {
  return shareByClip(trialsB) - shareByClip(trialsA);
}

export function clockMix(pairs: readonly Trials[], beam: Lane["gateBeam"]): ClockMix {
  const trials = pairs.flatMap((p) => [...p.trialsA, ...p.trialsB]);
  const sds = trials.flatMap(({ clipSd }) => (clipSd === undefined ? [] : [clipSd]));
  return {
    byClip: sds.length,
    byPhotocells: trials.length - sds.length,
    lean: pairs.length === 0 ? 0 : mean(pairs.map(leanOf)),
    offsetSd: BEAM_SD[beam],
    sds: sds.length === 0 ? null : [Math.min(...sds), Math.max(...sds)],
  };
}

/** An interval that also holds what an offset of the clocks may do: it is one for all, so it does not average out. */
export function withOffset<T extends { readonly value: number; readonly u95: number }>(
  of: OrWhy<T>,
  { lean, offsetSd }: Pick<ClockMix, "lean" | "offsetSd">,
): OrWhy<T> {
  return of.value === null || lean === 0 ? of : { ...of, u95: Math.hypot(of.u95, K95 * offsetSd * lean) };
}

/** Under this share of an interval an offset leaves the tests what they are: the interval grows by 3 %. */
const NOTHING = 0.25;

/** Why no test holds, where the clocks lean so that their offset could make a good part of a difference; null where it does not. */
export function untestable({ lean, offsetSd }: ClockMix, u95: number, a: string, b: string): string | null {
  if (lean === 0 || K95 * offsetSd * Math.abs(lean) <= NOTHING * u95) return null;
  const [more, less] = lean > 0 ? [b, a] : [a, b];
  return `More of ${more} than of ${less} is timed by clips. By how much clips and photocells differ is part of the ±, but no test takes it in.`;
}
