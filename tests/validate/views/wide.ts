import { type Conditions, ORDINARY } from "../film.ts";
import type { Placement } from "../placements.ts";
import { type Dice, dice } from "../random.ts";
import { add, rowOf, type Tally } from "../tally.ts";
import { measureAll, measureOne, type ViewsDocument } from "./driveViews.ts";
import { exchangedSides, wrongScale } from "./faults.ts";
import { type FilmedView, type FilmedViews, filmViews, type ViewWish } from "./filmViews.ts";
import { judgeViews } from "./judgeViews.ts";

/*
 * Two cameras that stand anywhere people put them, at any rates, either first: drawn anew for each trial, where `family.ts` holds
 * six fixed pairs. Places, lenses, rates, clocks, hand and what is marked are all drawn; nothing of src is used but to measure.
 */

const SEED = 20260311;

type Direction = Placement["from"];

/** What is the matter with a trial. */
export type Fault = "nothing" | "scale" | "sides";

export interface WideCase {
  readonly name: string;
  readonly from: readonly [Direction, Direction];
  /** Frames a second of each; absent = drawn. */
  readonly rates?: readonly [number, number];
  readonly withoutHips?: boolean;
  readonly fault?: Fault;
}

export const WIDE_CASES: readonly WideCase[] = [
  { name: "front and bench", from: ["finish", "bench"] },
  { name: "front and diagonal", from: ["finish", "45 deg"] },
  { name: "behind and bench", from: ["behind", "bench"] },
  { name: "front and bench, 60 and 120 /s", from: ["finish", "bench"], rates: [60, 120] },
  { name: "front and bench, 60 and 30 /s", from: ["finish", "bench"], rates: [60, 30] },
  { name: "front and bench, one without hips", from: ["finish", "bench"], withoutHips: true },
  { name: "front and bench, one scale wrong", from: ["finish", "bench"], fault: "scale" },
  { name: "front and diagonal, one scale wrong", from: ["finish", "45 deg"], fault: "scale" },
  { name: "front and bench, sides exchanged", from: ["finish", "bench"], fault: "sides" },
  { name: "front and diagonal, sides exchanged", from: ["finish", "45 deg"], fault: "sides" },
];

/** Nearest and farthest, metres, and how wide the lens is, degrees. */
const REACH: Readonly<Record<Direction, readonly [number, number]>> = {
  behind: [9, 22],
  finish: [9, 22],
  "20 deg": [9, 20],
  "45 deg": [8.5, 15],
  bench: [7.5, 15],
};

function drawPlacement(d: Dice, from: Direction): Placement {
  const [near, far] = REACH[from];
  const distance = d.even(near, far);
  // Who stands near has a wide lens.
  const hfovDeg = d.even(distance < 12 ? 60 : 45, 75);
  return { view: from, from, height: d.even(1.6, 5.5), distance, hfovDeg, follows: null };
}

export interface WideTrial {
  readonly film: FilmedViews;
  readonly body: FilmedViews["body"] | null;
  readonly sdPx: number;
}

/** Trial number `who` of a case, before anything is made wrong in it; null where a camera sees too little. */
export function filmWide(at: number, who: number): WideTrial | null {
  const { from, rates, withoutHips } = WIDE_CASES[at]!;
  const d = dice(SEED, who, at);
  const swap = d.chance(0.5);
  const places = from.map((one) => drawPlacement(d, one));
  const drawn = () => [30, 60, 120][Math.floor(d.even(0, 3))]!;
  const noisePx = d.chance(0.5) ? 1 : 1.5;
  const isSilent = d.chance(0.3);
  const wishes = places.map(
    (placement, v): ViewWish => ({
      placement,
      fps: rates?.[v] ?? drawn(),
      ahead: d.even(0.4, 9),
      rate: 1 + d.normal(2e-4),
      ...(isSilent && { withoutAnswers: true }),
      ...(withoutHips && v === 1 && { withoutHips: true }),
    }),
  );
  if (swap) wishes.reverse();
  const conditions: Conditions = { ...ORDINARY, noisePx, hipPx: d.even(1, 6), slips: d.even(0, 0.3) };
  const film = filmViews(SEED + at, wishes, who, conditions);
  return film && { film, body: isSilent ? null : film.body, sdPx: noisePx };
}

export interface WideResult {
  trials: number;
  tied: number;
  offsets: number;
  /** Trials in which something is told to disagree; and, of a fault, in which it is this fault that is named. */
  told: number;
  named: number;
  compared: number;
  wider: number;
  /** Values that a view alone gives and both refuse. */
  lost: number;
  readonly both: Tally;
  /** What was refused, told or lost where nothing is wrong, and what was not told where something is; each with its trial. */
  readonly examples: string[];
}

function nothing(): WideResult {
  const sums = { trials: 0, tied: 0, offsets: 0, told: 0, named: 0, compared: 0, wider: 0, lost: 0 };
  return { ...sums, both: new Map(), examples: [] };
}

export function runWide(at: number, skaters: Iterable<number>): WideResult {
  const sums = nothing();
  for (const who of skaters) {
    const trial = filmWide(at, who);
    if (trial) runOne(sums, trial, WIDE_CASES[at]!.fault ?? "nothing", who);
  }
  return sums;
}

function runOne(sums: WideResult, { film, body, sdPx }: WideTrial, fault: Fault, who: number): void {
  const shared = [...film.views[0]!.picked.keys()].filter((k) => film.views[1]!.picked.has(k));
  const faulty = who % 2;
  const push = shared[Math.min(1, shared.length - 1)]!;
  if (shared.length < 2) return;
  const views = film.views.map((view, v) => (v === faulty ? broken(view, fault, who, push) : view));
  const spoilt = { ...film, views };
  sums.trials++;
  const said = measureAll(spoilt, body, sdPx);
  if (typeof said === "string") {
    sums.examples.push(`${who}: ${said}`);
    return;
  }
  sums.tied++;
  const { value, u95 } = said.views[1]!.offset_s;
  if (Math.abs(value - film.offsets[1]!) <= u95) sums.offsets++;
  const told = said.warnings.filter(({ code }) => code === "views-disagree").map(({ text }) => text);
  if (told.length > 0) sums.told++;
  const named =
    fault === "scale"
      ? told.some((t) => /scale/.test(t))
      : told.some((t) => /left and right|side of/.test(t));
  if (named) sums.named++;
  if ((fault === "nothing") !== (told.length === 0))
    sums.examples.push(`${who}: ${told.join(" | ") || "not told"}`);
  for (const verdict of judgeViews(film, views, said)) add(sums.both, verdict.quantity, verdict);
  if (fault !== "nothing") return;
  film.views.forEach((_, v) => {
    const one = measureOne(views[v]!, body, sdPx);
    if (typeof one === "string") return;
    compare(sums, film, { v, who }, said, one);
  });
}

function broken(view: FilmedView, fault: Fault, who: number, push: number): FilmedView {
  if (fault === "scale") return wrongScale(view, [0.9144, 1.05, 0.94, 1.1][who % 4]!);
  return fault === "sides" ? exchangedSides(view, push) : view;
}

interface Figure {
  readonly value?: number | null;
  readonly u95?: number;
}

function compare(
  sums: WideResult,
  film: FilmedViews,
  { v, who }: { readonly v: number; readonly who: number },
  said: ViewsDocument,
  one: { readonly strides: readonly object[] },
): void {
  const numbers = [...new Set(film.views.flatMap(({ picked }) => [...picked.keys()]))].sort((a, b) => a - b);
  const own = [...film.views[v]!.picked.keys()].sort((a, b) => a - b);
  one.strides.forEach((stride, k) => {
    const together = said.strides[numbers.indexOf(own[k]!)] as unknown as Record<
      string,
      Figure & Record<string, Figure>
    >;
    for (const [name, figure] of Object.entries(stride as Record<string, Figure & Record<string, Figure>>)) {
      if (name === "arm_picture_angle_deg" || typeof figure !== "object") continue;
      if (v > 0 && (name === "blade_off_s" || name === "blade_on_s")) continue;
      const sides = "left" in figure ? (["left", "right"] as const) : [null];
      for (const side of sides) {
        const [alone, both] = side ? [figure[side]!, together[name]![side]!] : [figure, together[name]!];
        if (typeof alone.value !== "number") continue;
        if (typeof both.value !== "number") {
          sums.lost++;
          sums.examples.push(
            `${who}: lost ${name} of view ${v + 1}: ${(both as { why?: string }).why?.slice(0, 160)}`,
          );
          continue;
        }
        sums.compared++;
        if (both.u95! > alone.u95! * 1.001) {
          sums.wider++;
          sums.examples.push(`${who}: wider ${name} of view ${v + 1}: ${both.u95} > ${alone.u95}`);
        }
      }
    }
  });
}

const COVERAGE = [0.93, 0.98] as const;
const ASKED = [
  ...["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m", "half_width_m"],
  ...["recovery_to_midline_m", "touchdown_to_midline_m", "stride_length_m", "stride_rate_hz"],
  ...["recovery_time_s", "blade_off_s", "blade_on_s", "arm_swing_direction_deg", "arm_swing_angle_deg"],
];

/** Simulates cases and prints a table each. @returns the exit status: 1 when something asked is missed */
export function wideFamily(skaters: number, only: number): number {
  const missed: string[] = [];
  WIDE_CASES.forEach((one, at) => {
    if (only > 0 && only !== at + 1) return;
    const found = runWide(
      at,
      Array.from({ length: skaters }, (_, who) => who),
    );
    console.log(`\n${wideTable(one.name, found)}`);
    missed.push(...missedOf(one, found).map((what) => `${one.name}: ${what}`));
  });
  console.log(missed.length === 0 ? "\nAll that is asked is met." : `\nMissed:\n${missed.join("\n")}`);
  return missed.length === 0 ? 0 : 1;
}

function missedOf({ fault = "nothing" }: WideCase, found: WideResult): string[] {
  const rows = ASKED.flatMap((quantity) => {
    const sums = found.both.get(quantity);
    return sums && sums.given > 0 && rowOf(sums).coverageTo < COVERAGE[0]
      ? [`${quantity} held too seldom`]
      : [];
  });
  const share = (n: number) => n / Math.max(1, found.trials);
  if (fault === "nothing" && found.tied < found.trials) rows.push(`${found.trials - found.tied} not tied`);
  if (fault === "nothing" && share(found.told) > 0.05) rows.push(`${found.told} told of nothing`);
  if (fault !== "nothing" && share(found.named) < 0.9) rows.push(`named in ${found.named} only`);
  if (found.wider > 0.001 * found.compared) rows.push(`${found.wider} wider than one view`);
  return rows;
}

export function wideTable(name: string, found: WideResult): string {
  const lines = [
    `${name}: ${found.trials} trials, ${found.tied} tied, ${found.offsets} offsets within ±, ${found.told} told, ${found.named} named, ${found.wider} of ${found.compared} wider, ${found.lost} lost`,
  ];
  for (const quantity of ASKED) {
    const sums = found.both.get(quantity);
    if (!sums) continue;
    if (sums.given === 0) {
      lines.push(`  ${quantity} refused in all ${sums.refused}`);
      continue;
    }
    const row = rowOf(sums);
    const unit = /_deg|_hz/.test(quantity) ? 1 : quantity.endsWith("_s") ? 1000 : 100;
    const figures = `bias ${(unit * row.bias).toFixed(2)} SD ${(unit * row.sd).toFixed(2)} ± ${(unit * row.u95).toFixed(2)}`;
    const held = `held ${(100 * row.coverage).toFixed(1)} (${(100 * row.coverageFrom).toFixed(1)} to ${(100 * row.coverageTo).toFixed(1)}) %`;
    lines.push(
      `  ${quantity.padEnd(30)} ${figures} ${held} n ${row.n} refused ${(100 * row.refused).toFixed(0)} %`,
    );
  }
  return [...lines, ...found.examples].join("\n");
}
