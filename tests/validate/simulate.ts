import { measureTables } from "./drive.ts";
import { type Conditions, filmTrial, ORDINARY } from "./film.ts";
import { judge } from "./judge.ts";
import { PLACEMENTS } from "./placements.ts";
import { add, type Tally } from "./tally.ts";

export const SEED = 20260117;

/** How trials are marked, and what marking SD the user states. */
export interface Regime {
  readonly name: string;
  readonly conditions: Conditions;
  readonly statedSdPx: number;
  /** Whether the stated requirements hold for it. */
  readonly asked: boolean;
  /** Draws of the Monte Carlo intervals that are judged instead of the linear ones, and how many skaters that is done for. */
  readonly drawn?: { readonly draws: number; readonly skaters: number };
}

export const REGIMES: readonly Regime[] = [
  { name: "marks 1 px, stated 1 px", conditions: ORDINARY, statedSdPx: 1, asked: true },
  {
    name: "marks 1.5 px, stated 1.5 px",
    conditions: { ...ORDINARY, noisePx: 1.5 },
    statedSdPx: 1.5,
    asked: true,
  },
  // A heel that lifts is not noise of the marks: the bound is about flat blades.
  {
    name: "marks 1 px, stated 1 px, blades flat on the ice, no slips",
    conditions: { ...ORDINARY, slips: 0, flat: true },
    statedSdPx: 1,
    asked: false,
  },
  // Marks better than stated have to be covered more often than asked.
  { name: "marks 1 px, stated 1.5 px", conditions: ORDINARY, statedSdPx: 1.5, asked: false },
  {
    name: "marks 1 px, stated 1 px, intervals by Monte Carlo",
    conditions: ORDINARY,
    statedSdPx: 1,
    asked: false,
    drawn: { draws: 1000, skaters: 3 },
  },
];

const breaker = (name: string, more: Partial<Conditions>): Regime => ({
  name,
  conditions: { ...ORDINARY, ...more },
  statedSdPx: 1,
  asked: false,
});

/** What the intervals do not promise to hold against (docs/precision.md 5), for comparison. */
export const BREAKERS: readonly Regime[] = [
  breaker("marks 2 px, stated 1 px", { noisePx: 2 }),
  breaker("3 % of marks off by up to 8 px", { outliers: 0.03 }),
  breaker("ice points 3 cm off, not said", { tape: [1, 0.03], tapeHidden: true }),
];

export interface Simulated {
  /** By `quantity`, `quantity|view` and `quantity|view|height|distance|fov`. */
  readonly tally: Tally;
  readonly trials: number;
  /** Trials of which the core refuses everything in metres. */
  readonly refusedTrials: Map<string, number>;
  /** Trials in which the fit of the ice points is called poor. */
  readonly warnedTrials: number;
  /** Why single figures were refused. */
  readonly whys: Map<string, number>;
}

/** Without numbers and names of points, so that like refusals are counted together. */
function firstSentence(why: string): string {
  return why.replace(/[LRP]?-?\d[\d.]*/g, "#").split(". ")[0]!;
}

/** Films, marks, measures and judges every given trial: numbers 0 … 25 × placements − 1. */
export function simulate(regime: Regime, trials: Iterable<number>, skaters: number): Simulated {
  const tally: Tally = new Map();
  const refusedTrials = new Map<string, number>();
  const whys = new Map<string, number>();
  const count = (map: Map<string, number>, key: string) => map.set(key, (map.get(key) ?? 0) + 1);
  let done = 0;
  let warnedTrials = 0;
  for (const trial of trials) {
    const placement = PLACEMENTS[Math.floor(trial / skaters)]!;
    const film = filmTrial(SEED, placement, trial % skaters, regime.conditions);
    if (!film) {
      count(refusedTrials, "the picture holds less than 4 m of the lane");
      continue;
    }
    const said = measureTables(film, regime.statedSdPx, regime.drawn?.draws);
    done++;
    if (typeof said === "string") {
      count(refusedTrials, firstSentence(said));
      continue;
    }
    if (said.scale.why) count(refusedTrials, firstSentence(said.scale.why));
    if (said.scale.warnings?.some((w) => w.code === "ice-points-fit-poorly")) warnedTrials++;
    const { view, height, distance, hfovDeg, follows } = placement;
    const points = follows ? ` ${follows.points} points` : "";
    for (const verdict of judge(film, said, regime.conditions.flat ? regime.conditions.noisePx : null)) {
      add(tally, verdict.quantity, verdict);
      add(tally, `${verdict.quantity}|${view}`, verdict);
      add(tally, `${verdict.quantity}|${view}|h${height} d${distance} ${hfovDeg} deg${points}`, verdict);
      add(tally, `${verdict.quantity}||${film.fps} fps`, verdict);
      if (verdict.quantity.includes("arm_"))
        add(tally, `${verdict.quantity}|${view}|${film.skater.arms}`, verdict);
      if (verdict.why) count(whys, `${verdict.quantity}: ${verdict.why.replace(/[\d.]+/g, "#")}`);
    }
  }
  return { tally, trials: done, refusedTrials, warnedTrials, whys };
}
