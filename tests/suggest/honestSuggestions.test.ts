import { describe, expect, it } from "vitest";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import { readMarksCsv } from "../../src/study/tables.ts";
import type { Mark } from "../../src/study/types.ts";
import { measureTables } from "../validate/drive.ts";
import { type FilmedTrial, filmTrial, ORDINARY } from "../validate/film.ts";
import { judge, type Verdict } from "../validate/judge.ts";
import { PLACEMENTS, type Placement } from "../validate/placements.ts";
import { dice } from "../validate/random.ts";
import { confirmedMarks, type Errs, HAND, keyOf } from "./confirmedMarks.ts";

const SEED = 4171;

const WHERE = PLACEMENTS.filter(
  (p) => !p.follows && (p.from === "finish" || p.from === "behind") && p.distance >= 20,
);
const WIDTHS = ["stride_width_m", "touchdown_to_track_midline_m"];
const HIPS = ["recovery_to_midline_m", "touchdown_to_midline_m"];

/** A trial as it is, and as this hand marks it. */
interface MarkedTrial {
  readonly film: FilmedTrial;
  readonly exact: ReadonlyMap<string, Mark>;
  readonly byHand: readonly Mark[];
}

/** Of each placement its skaters' trials, made once for all cases; null where too little is to be seen. */
const marked = new Map<Placement, Map<number, MarkedTrial | null>>();

function markedTrial(placement: Placement, who: number): MarkedTrial | null {
  const there = marked.get(placement) ?? new Map<number, MarkedTrial | null>();
  marked.set(placement, there);
  const known = there.get(who);
  if (known !== undefined) return known;
  const made = markTrial(placement, who);
  there.set(who, made);
  return made;
}

function markTrial(placement: Placement, who: number): MarkedTrial | null {
  const conditions = { ...ORDINARY, noisePx: HAND.blade, hipPx: HAND.hip };
  const film = filmTrial(SEED, placement, who, conditions);
  if (!film || film.picked.length < 7) return null;
  const clean = filmTrial(SEED, placement, who, { ...conditions, noisePx: 0, hipPx: 0 });
  if (!clean) return null;
  const exact = new Map(readMarksCsv(clean.tables.marks).map((m) => [keyOf(m), m]));
  const byHand = readMarksCsv(film.tables.marks).filter(
    (m) => exact.has(keyOf(m)) && !/shoulder|elbow|wrist/.test(m.point),
  );
  return { film, exact, byHand };
}

interface Row {
  readonly covered: number;
  readonly n: number;
  /** The middle one, metres; and of each interval by what it is of. */
  readonly u95: number;
  readonly each: ReadonlyMap<string, number>;
}

function simulated(errs: Errs, skaters: number, as: "suggested" | "hand" | "as if by hand" = "suggested") {
  const all = new Map<string, Sums>();
  let [looked, moved] = [0, 0];
  for (const [w, placement] of WHERE.entries()) {
    for (let who = 0; who < skaters; who++) {
      const trial = markedTrial(placement, who);
      if (!trial) continue;
      const { film, exact, byHand } = trial;
      const d = dice(SEED, 77, w, who);
      const put =
        as === "hand" ? { marks: byHand, looked: 0, moved: 0 } : confirmedMarks(film, exact, byHand, errs, d);
      looked += put.looked;
      moved += put.moved;
      const noArms = (input: MeasureInput): MeasureInput => ({
        ...input,
        marks: as === "suggested" ? put.marks : put.marks.map(({ from: _, suggested: __, ...m }) => m),
        events: input.events.filter((e) => !e.event.startsWith("arm")),
      });
      const said = measureTables(film, HAND.blade, 0, noArms);
      if (typeof said === "string") continue;
      for (const [k, v] of judge(film, said, null).entries())
        add(all, `${w} ${who} ${v.quantity} ${/^mean/.test(v.quantity) ? "" : k}`, v);
    }
  }
  const row = (names: readonly string[], mean: boolean): Row => {
    const of = names.map((n) => all.get(mean ? `mean ${n}` : n)).filter((x) => x !== undefined);
    const each = new Map(of.flatMap((x) => [...x.u95]));
    return {
      covered: of.reduce((s, x) => s + x.covered, 0) / each.size,
      n: each.size,
      u95: medianOf([...each.values()]),
      each,
    };
  };
  return { row, moved: looked > 0 ? moved / looked : 0 };
}

interface Sums {
  covered: number;
  /** By trial and stride. */
  readonly u95: Map<string, number>;
}

function add(all: Map<string, Sums>, key: string, v: Verdict): void {
  if (v.error === null) return;
  const sums = all.get(v.quantity) ?? { covered: 0, u95: new Map() };
  all.set(v.quantity, sums);
  sums.u95.set(key, v.u95);
  if (v.covered) sums.covered++;
}

function medianOf(values: number[]): number {
  return values.sort((a, b) => a - b)[values.length >> 1]!;
}

/** How many times as wide as the same intervals by hand, all together. */
function timesAsWide(sheet: Row, hand: Row): number {
  const both = [...sheet.each.keys()].filter((key) => hand.each.has(key));
  const together = (row: Row) => both.reduce((sum, key) => sum + row.each.get(key)!, 0);
  return together(sheet) / together(hand);
}

const CASES: readonly (readonly [string, Errs])[] = [
  ["as measured", { times: 1, outliers: 0.02 }],
  ["twice as large, 4 % outliers", { times: 2, outliers: 0.04 }],
  ["three times, 8 % outliers", { times: 3, outliers: 0.08 }],
  ["twice as large, the hand drawn a fifth of the way", { times: 2, outliers: 0.04, anchored: 0.2 }],
];
const SKATERS = 36;
/** Asked for: of single strides and of trial means the 95 % intervals hold the truth in at least so many. */
const HOLDS = 0.93;

describe("numbers from suggestions", () => {
  const hand = simulated({ times: 0, outliers: 0 }, SKATERS, "hand");

  it.each(CASES)(
    "looked at one by one hold the truth and are hardly wider than a hand's: %s",
    (name, errs) => {
      const sheet = simulated(errs, SKATERS);
      const told: string[] = [];
      for (const [words, names, widest] of [
        ["widths", WIDTHS, 1.2],
        ["hips", HIPS, 1.5],
      ] as const) {
        for (const mean of [false, true]) {
          const [a, b] = [sheet.row(names, mean), hand.row(names, mean)];
          const ratio = timesAsWide(a, b);
          told.push(
            `${words}${mean ? ", mean" : ""}: ${(100 * a.covered).toFixed(1)} % of ${a.n}, u95 ${ratio.toFixed(2)} of a hand's (${(100 * b.u95).toFixed(1)} cm, ${(100 * b.covered).toFixed(1)} %)`,
          );
          expect(a.n, words).toBeGreaterThan(100);
          expect(a.covered, told.at(-1)).toBeGreaterThanOrEqual(HOLDS);
          expect(ratio, told.at(-1)).toBeLessThanOrEqual(widest);
        }
      }
      console.log(`${name}: ${(100 * sheet.moved).toFixed(0)} % moved; ${told.join("; ")}`);
    },
  );

  it("accepted unseen hold the truth too, far wider; as if by hand they do not: that is what the own SD is for", () => {
    const errs: Errs = { times: 3, outliers: 0.04, unseen: true };
    const [own, asHand] = [simulated(errs, SKATERS), simulated(errs, SKATERS, "as if by hand")];
    const told = [own, asHand].map((s) =>
      [s.row(WIDTHS, false), s.row(WIDTHS, true), s.row(HIPS, false), s.row(HIPS, true)].map(
        (r) => `${(100 * r.covered).toFixed(1)} % of ${r.n}, ${(100 * r.u95).toFixed(1)} cm`,
      ),
    );
    console.log(`unseen, own SD: ${told[0]!.join("; ")}. As if by hand: ${told[1]!.join("; ")}`);
    expect(own.row(WIDTHS, false).covered).toBeGreaterThanOrEqual(HOLDS);
    expect(own.row(WIDTHS, true).covered).toBeGreaterThanOrEqual(HOLDS);
    for (const names of [WIDTHS, HIPS])
      for (const mean of [false, true]) expect(asHand.row(names, mean).covered).toBeLessThan(HOLDS);
  });
});
