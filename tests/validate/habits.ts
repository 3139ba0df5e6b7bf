import type { Dice } from "./random.ts";

/*
 * How a simulated skater skates. Ranges that hold what skaters were seen or can be thought to do, wider than what the core
 * believes of anybody and about other middles: a test skater who is the prior's own mean could not show that the prior is
 * wrong. Where there is no published number this is common practice, no source.
 */

export interface Habits {
  readonly stature: number;
  /** Of mid-hip above the ice, metres. */
  readonly hipHeight: number;
  /** Speed in the middle of the trial, m/s, and what it gains in a second; not used from rest. */
  readonly speed: number;
  readonly gain: number;
  /** Seconds from one blade-off to the other blade's. */
  readonly period: number;
  /** Half-amplitude of the hips across, metres, and by how much of half a cycle they run ahead of the blade-offs, rad. */
  readonly sway: number;
  readonly swayAhead: number;
  /** Share of the skater's speed by which a blade on the ice falls behind. */
  readonly behindShare: number;
  /** Where a blade comes down, ahead of mid-hip, metres. */
  readonly landsAhead: number;
  /** Outward speed of a blade as it leaves and as it meets the ice, m/s. */
  readonly vOff: number;
  readonly vOn: number;
  /** Seconds for which both blades are on the ice. */
  readonly overlap: number;
  /** Highest point of the recovering blade, metres, and how much higher its heel is. */
  readonly lift: number;
  readonly heelUp: number;
  /** How far the recovering blade is kicked back (negative) or thrown ahead meanwhile, metres. */
  readonly kick: number;
  readonly heelTime: number;
  /** Share of the leg's reach that is used. */
  readonly reachShare: number;
  /** What left does more than right: reach, recovery (metres), time (share). */
  readonly leftMore: { readonly reach: number; readonly recovery: number; readonly time: number };
  /** How much the moments of a stride vary, as a share of a normal tremble. */
  readonly tremble: number;
  /** Sideways slip of an edge that carries, rad. */
  readonly slip: number;
  readonly start: Start | null;
}

/** A skater who stands and sprints off: the first strides are short, narrow, and grip instead of gliding. */
export interface Start {
  /** Seconds in which the speed comes to 63 % of what it will be. */
  readonly tau: number;
  readonly topSpeed: number;
  /** By what share the first stride's reach is less, and after how many strides a third of that is left. */
  readonly narrower: number;
  readonly strides: number;
}

export function drawHabits(d: Dice, wished: { readonly lift?: number; readonly fromRest?: boolean }): Habits {
  const stature = d.normal(0.08) + 1.7;
  const fromRest = wished.fromRest ?? d.chance(0.15);
  const drawn = {
    stature,
    // From a speed skater's crouch to an upright one: standing hips are at 0.53 of stature (Drillis and Contini 1966), blades add 5 cm.
    hipHeight: d.even(0.37, 0.53) * stature,
    speed: d.even(5.5, 9.3),
    gain: d.even(-0.3, 1.5),
    period: d.even(0.28, 0.42),
    sway: d.even(0.01, 0.07),
    swayAhead: d.even(0.1, 1.3),
    behindShare: d.even(0.05, 0.25),
    landsAhead: d.even(-0.05, 0.23),
    vOff: d.even(0, 1.7),
    vOn: d.even(-0.3, 1.2),
    overlap: d.even(0.02, 0.11),
    lift: d.even(0.01, 0.18),
    heelUp: d.even(0, 0.06),
    kick: d.even(-0.1, 0.06),
    heelTime: d.even(0.008, 0.025),
    reachShare: d.even(0.75, 1),
    leftMore: { reach: d.normal(0.03), recovery: d.normal(0.02), time: d.normal(0.03) },
    tremble: d.even(0.5, 2),
    slip: 0.01,
    start: {
      tau: d.even(0.9, 1.5),
      topSpeed: d.even(6.5, 9),
      narrower: d.even(0.2, 0.6),
      strides: d.even(1, 2.5),
    },
  };
  return { ...drawn, start: fromRest ? drawn.start : null, lift: wished.lift ?? drawn.lift };
}
