/** When each blade leaves and meets the ice in a run, and how far out: the plan that the motion then follows. */
import type { RunSpec } from "./people.ts";
import { type Progress, STILL } from "./progress.ts";
import { seeded } from "./random.ts";

/** +1 the left blade, -1 the right one. */
export type Sign = 1 | -1;

/** One push: the blade glides from `on` to `off`, then recovers until the next push of the same blade. */
export interface Push {
  readonly index: number;
  readonly sign: Sign;
  /** Exact times of contact, seconds; the first push of each blade is on the ice from the beginning. */
  readonly on: number;
  readonly off: number;
  /** Distance outward from the line of travel, metres, and outward speed, m/s, at both times. */
  readonly outOn: number;
  readonly outOff: number;
  readonly speedOn: number;
  readonly speedOff: number;
  /** Place ahead of mid-hip, metres, and the speed relative to it, m/s. */
  readonly aheadOn: number;
  readonly aheadOff: number;
  readonly slipOn: number;
  readonly slipOff: number;
  /** Height of the heel when the toe leaves, metres: 0 = both ends leave together. */
  readonly heelLift: number;
  /** Nearest distance outward during the recovery that follows, and toe height on the way, metres. */
  readonly outNearest: number;
  readonly toeLift: number;
}

export function planPushes(spec: RunSpec, progress: Progress, until: number): Push[] {
  const { person } = spec;
  const random = seeded(`strides of ${spec.name}`);
  const vary = (sd: number) => sd * Math.max(-2, Math.min(2, random.normal()));
  const pushes: Push[] = [];
  let off = STILL + 0.36;
  const recoveryUntil: Record<Sign, number> = { 1: Number.NEGATIVE_INFINITY, [-1]: Number.NEGATIVE_INFINITY };
  for (let index = 0; off < until; index++) {
    const sign = (index % 2 === 0 ? person.firstPush : -person.firstPush) as Sign;
    const interval = 1 / (person.rate + 0.42 * Math.exp(-index / 3)) + vary(0.005) + 0.004 * sign;
    const on = recoveryUntil[sign];
    const pace = 0.55 + 0.45 * Math.min(1, progress.speed(off) / 6);
    const first = index < 2;
    const widthHere = person.width + (spec.technique === "open" ? 0.035 : 0);
    const outOff = widthHere / 2 + (sign * person.asymmetry) / 2 - 0.05 * Math.exp(-index / 2) + vary(0.016);
    const outOn = first ? 0.16 : Math.max(0.005, spec.touchdown + 0.008 * sign + vary(0.016));
    const meanOut = (outOff - outOn) / 0.4;
    pushes.push({
      ...{ index, sign, on, off, outOn, outOff },
      speedOn: 0.4 * meanOut + 0.12,
      speedOff: 0.62 * meanOut + 0.25 + vary(0.06),
      aheadOn: (0.19 + vary(0.015)) * pace,
      aheadOff: (-0.26 + vary(0.015)) * pace,
      slipOn: -0.6 * pace,
      slipOff: -1.8 * pace,
      heelLift: random.next() < 0.35 ? 0.004 + 0.007 * random.next() : 0,
      outNearest: outOn - 0.022 + vary(0.008),
      toeLift: 0.019 + vary(0.003),
    });
    recoveryUntil[sign] = off + interval * (0.8 + vary(0.012));
    off += interval;
  }
  return pushes;
}
