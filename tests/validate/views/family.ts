import { type Conditions, ORDINARY } from "../film.ts";
import { PLACEMENTS, type Placement } from "../placements.ts";
import { add, canBe, type Row, rowOf, type Tally } from "../tally.ts";
import { measureAll, measureOne, type ViewsDocument } from "./driveViews.ts";
import { type FilmedViews, filmViews, type ViewWish } from "./filmViews.ts";
import { judgeViews } from "./judgeViews.ts";

const SEED = 20260129;

/** Two cameras at once: where each stands, with what rates they film, and what is not said or marked. */
export interface PairOfViews {
  readonly name: string;
  readonly placements: readonly [Placement, Placement];
  readonly without?: "hips in view 2" | "limbs and answers";
}

function placement(from: Placement["from"], distance: number): Placement {
  return PLACEMENTS.find((p) => p.from === from && p.height === 3 && p.distance === distance && !p.follows)!;
}

export const PAIRS: readonly PairOfViews[] = [
  { name: "front 10 m, bench 8 m", placements: [placement("finish", 10), placement("bench", 8)] },
  { name: "front 20 m, bench 14 m", placements: [placement("finish", 20), placement("bench", 14)] },
  { name: "front 10 m, diagonal 10 m", placements: [placement("finish", 10), placement("45 deg", 10)] },
  { name: "behind 20 m, bench 14 m", placements: [placement("behind", 20), placement("bench", 14)] },
  {
    name: "front 10 m, bench 14 m without hips",
    placements: [placement("finish", 10), placement("bench", 14)],
    without: "hips in view 2",
  },
  {
    name: "front 10 m, bench 14 m, no limb and no answer said",
    placements: [placement("finish", 10), placement("bench", 14)],
    without: "limbs and answers",
  },
];

/** Frames a second of the second view; the first has 60. */
const RATES = [60, 120, 30];

export function filmPair(
  { placements, without }: PairOfViews,
  who: number,
  conditions: Conditions = ORDINARY,
) {
  // Offsets of seconds, and frames of the two that fall anyhow beside each other.
  const ahead = 1.7 + 0.61 * (who % 4) + ((who * 0.618034) % 1) / 15;
  const silent = without === "limbs and answers" ? { withoutAnswers: true } : {};
  const wishes: ViewWish[] = [
    { placement: placements[0], fps: 60, ahead: 0.4, ...silent },
    {
      ...{ placement: placements[1], fps: RATES[who % 3]!, ahead, ...silent },
      rate: 1 + 1e-4 * ((who % 5) - 2),
      ...(without === "hips in view 2" && { withoutHips: true }),
    },
  ];
  const film = filmViews(SEED, wishes, who, conditions);
  return film && { film, body: without === "limbs and answers" ? null : film.body };
}

export interface FamilyResult {
  readonly trials: number;
  readonly tied: number;
  /** Offsets within their u95. */
  readonly offsets: number;
  /** Trials that are told of a disagreement, and nothing was wrong. */
  readonly disagree: number;
  /** Values of a single view, and how many of these both give with a wider ±. */
  readonly compared: number;
  readonly wider: number;
  readonly both: Tally;
  readonly alone: readonly [Tally, Tally];
}

/** Films, marks, measures by both views and by each, and judges every given skater. */
export function runPair(pair: PairOfViews, skaters: Iterable<number>): FamilyResult {
  const [both, first, second]: Tally[] = [new Map(), new Map(), new Map()];
  const sums = { trials: 0, tied: 0, offsets: 0, disagree: 0, compared: 0, wider: 0 };
  for (const who of skaters) {
    const filmed = filmPair(pair, who);
    if (!filmed) continue;
    const { film, body } = filmed;
    const said = measureAll(film, body);
    sums.trials++;
    if (typeof said === "string") continue;
    sums.tied++;
    const { value, u95 } = said.views[1]!.offset_s;
    if (Math.abs(value - film.offsets[1]!) <= u95) sums.offsets++;
    const isTold = said.warnings.some(({ code }) => code === "views-disagree");
    if (isTold) sums.disagree++;
    for (const verdict of judgeViews(film, film.views, said)) add(both!, verdict.quantity, verdict);
    film.views.forEach((view, v) => {
      const one = measureOne(view, body);
      if (typeof one === "string") return;
      for (const verdict of judgeViews(film, [view], one))
        add(v === 0 ? first! : second!, verdict.quantity, verdict);
      const found = wider(film, v, said, one);
      // What one view is told to be wrong about is the other's alone.
      if (isTold) return;
      sums.compared += found.compared;
      sums.wider += found.wider;
    });
  }
  return { ...sums, both: both!, alone: [first!, second!] };
}

interface Figure {
  readonly value?: number | null;
  readonly u95?: number;
}

/** Of the values that one view gives, how many both give with a wider ±. */
function wider(
  film: FilmedViews,
  v: number,
  said: ViewsDocument,
  one: { readonly strides: readonly object[] },
) {
  const numbers = [...new Set(film.views.flatMap(({ picked }) => [...picked.keys()]))].sort((a, b) => a - b);
  const own = [...film.views[v]!.picked.keys()].sort((a, b) => a - b);
  let [compared, worse] = [0, 0];
  one.strides.forEach((stride, k) => {
    const together = said.strides[numbers.indexOf(own[k]!)] as unknown as Record<
      string,
      Figure & Record<string, Figure>
    >;
    for (const [name, figure] of Object.entries(stride as Record<string, Figure & Record<string, Figure>>)) {
      // An angle in the picture is a view's own.
      if (name === "arm_picture_angle_deg" || typeof figure !== "object") continue;
      // In the first view's clock a moment of the second has the doubt of the offset as well.
      if (v > 0 && (name === "blade_off_s" || name === "blade_on_s")) continue;
      const sides = "left" in figure ? (["left", "right"] as const) : [null];
      for (const side of sides) {
        const [alone, both] = side ? [figure[side]!, together[name]![side]!] : [figure, together[name]!];
        if (typeof alone.value !== "number" || typeof both.value !== "number") continue;
        compared++;
        if (both.u95! > alone.u95! * 1.001) worse++;
      }
    }
  });
  return { compared, wider: worse };
}

const TIMES = ["stride_rate_hz", "recovery_time_s", "blade_off_s", "blade_on_s"];
const ASKED = [
  ...["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m", "half_width_m"],
  ...["recovery_to_midline_m", "touchdown_to_midline_m", "stride_length_m", ...TIMES],
  ...["arm_swing_direction_deg", "arm_swing_angle_deg"],
];
const COVERAGE = [0.93, 0.98] as const;

/** Simulates every pair and prints a table. @returns the exit status: 1 when something asked is missed */
export function viewsFamily(skaters: number): number {
  const missed: string[] = [];
  for (const pair of PAIRS) {
    const began = performance.now();
    const found = runPair(
      pair,
      Array.from({ length: skaters }, (_, who) => who),
    );
    const seconds = ((performance.now() - began) / 1000).toFixed(0);
    console.log(
      `\n${pair.name}: ${found.trials} trials, ${found.tied} tied, ${found.offsets} offsets within ±, ${found.disagree} told of a disagreement, ${found.wider} of ${found.compared} values wider than one view's, ${seconds} s`,
    );
    for (const quantity of ASKED) {
      const sums = found.both.get(quantity);
      if (!sums) continue;
      const row = rowOf(sums);
      console.log(line(quantity, row, found.alone));
      if (row.n > 0 && !canBe(row, COVERAGE)) missed.push(`${pair.name}: ${quantity} coverage`);
    }
    if (found.tied < found.trials) missed.push(`${pair.name}: ${found.trials - found.tied} not tied`);
    // At most 2 in 100, where chance alone may double that in few trials.
    if (found.disagree > 0.02 * found.trials + 2 * Math.sqrt(0.02 * found.trials))
      missed.push(`${pair.name}: false disagreements`);
    if (found.wider > 0.001 * found.compared) missed.push(`${pair.name}: wider than one view`);
  }
  console.log(
    missed.length === 0 ? "\nAll that is asked of two views is met." : `\nMissed:\n${missed.join("\n")}`,
  );
  return missed.length === 0 ? 0 : 1;
}

function line(quantity: string, row: Row, alone: FamilyResult["alone"]): string {
  const unit = quantity.endsWith("_deg")
    ? 1
    : quantity.endsWith("_s")
      ? 1000
      : quantity.endsWith("_hz")
        ? 1
        : 100;
  const show = (r: Row) =>
    `SD ${(unit * r.sd).toFixed(2)} ± ${(unit * r.u95).toFixed(2)} held ${(100 * r.coverage).toFixed(1)} % refused ${(100 * r.refused).toFixed(0)} %`;
  const each = alone.map((tally) => {
    const sums = tally.get(quantity);
    // A view's own times are in its own clock.
    return sums && sums.given > 0 && !TIMES.slice(2).includes(quantity) ? show(rowOf(sums)) : "–";
  });
  return `  ${quantity.padEnd(30)} ${show(row)}   | ${each.join(" | ")}`;
}
