import { describe, expect, it, vi } from "vitest";
import { PLACEMENTS } from "./placements.ts";
import { REGIMES, type Regime, simulate } from "./simulate.ts";
import { ARM_CELLS, canBe, DEMANDS, rowOf } from "./tally.ts";

/*
 * A share of `npm run validate`, every placement with a few skaters. Its draws are fixed, so it passes or fails for
 * a change of the code alone; the limits are those of the whole, as far as so few strides can tell.
 */
const SKATERS = 3;

vi.setConfig({ testTimeout: 300_000 });

/** Cameras that follow cost ten times as much: one skater each. */
const every = Array.from({ length: SKATERS * PLACEMENTS.length }, (_, k) => k).filter(
  (k) => k % SKATERS === 1 || !PLACEMENTS[Math.floor(k / SKATERS)]!.follows,
);
const some = every.filter((k) => k % SKATERS === 1 && !PLACEMENTS[Math.floor(k / SKATERS)]!.follows);

const ordinary = simulate(REGIMES[0]!, every, SKATERS).tally;
/** One skater a placement who swings along, one who swings across: of every six the second and the fifth. */
const armViews = new Set(ARM_CELLS.map((cell) => cell.split("|")[0]));
const arms = simulate(
  REGIMES[0]!,
  Array.from({ length: 6 * PLACEMENTS.length }, (_, k) => k).filter(
    (k) => [1, 4].includes(k % 6) && armViews.has(PLACEMENTS[Math.floor(k / 6)]!.view),
  ),
  6,
).tally;
const flat = REGIMES.find((r: Regime) => r.conditions.flat)!;

describe("simulated trials of known truth", () => {
  it.each(Object.entries(DEMANDS))(
    "%s lies in its interval as often as that says, without bias",
    (name, demand) => {
      const row = rowOf(ordinary.get(name)!);
      // Three skaters from 56 places make 160 trials, of which each has one mean.
      expect(row.n).toBeGreaterThan(name.startsWith("mean") ? 90 : 250);
      const [low, high] = demand.coverage!;
      // The binomial interval of the share must reach what is asked.
      expect(row.coverageTo).toBeGreaterThan(low);
      expect(row.coverageFrom).toBeLessThan(high);
      expect(Math.abs(row.bias)).toBeLessThan(row.u95 / 4);
    },
  );

  it.each(Object.keys(DEMANDS).filter((name) => name.includes("arm_")))(
    "%s lies in its interval from front, bench and diagonal, swung along and across",
    (name) => {
      for (const cell of ARM_CELLS) {
        const row = rowOf(arms.get(`${name}|${cell}`)!);
        expect.soft(row.n, cell).toBeGreaterThan(name.startsWith("mean") ? 6 : 40);
        expect.soft(canBe(row, DEMANDS[name]!.coverage!), `${cell}: ${row.coverage} of ${row.n}`).toBe(true);
      }
      // Nine means a cell tell little; all cells together tell intervals that are a third too wide or too narrow.
      const all = rowOf(arms.get(name)!);
      expect(all.n).toBeGreaterThan(name.startsWith("mean") ? 60 : 500);
      expect(canBe(all, DEMANDS[name]!.coverage!), `${all.coverage} of ${all.n}`).toBe(true);
      expect((1.96 * all.sd) / all.u95).toBeGreaterThan(0.65);
      expect((1.96 * all.sd) / all.u95).toBeLessThan(1.35);
    },
  );

  it("stride width scatters as little as the marks allow (Cramér-Rao)", () => {
    const row = rowOf(simulate(flat, some, SKATERS).tally.get("stride_width_m")!);
    expect(row.boundN).toBeGreaterThan(80);
    // 1.05 is asked of the whole; the square root of a mean of 100 squares has an SD of 7 %, and widths share marks.
    expect(row.overBound!).toBeLessThan(1.2);
    // Less than the bound would mean that the bound, or the truth, is wrong.
    expect(row.overBound!).toBeGreaterThan(0.8);
  });

  it("counts what roughly taped ice points do to the scale", () => {
    // Skaters 2, 5 and 8 of nine are filmed at 120 frames a second, where little but the scale is doubtful.
    const rough: Regime = { ...flat, conditions: { ...flat.conditions, tape: [1, 0.05] } };
    const trials = Array.from({ length: 9 * PLACEMENTS.length }, (_, k) => k).filter(
      (k) => k % 3 === 2 && ["behind", "finish"].includes(PLACEMENTS[Math.floor(k / 9)]!.view),
    );
    const { tally } = simulate(rough, trials, 9);
    for (const name of ["stride_width_m", "mean stride_width_m", "mean blade_separation_m"]) {
      expect.soft(rowOf(tally.get(name)!).coverageTo, name).toBeGreaterThan(0.95);
    }
  });

  it("still gives most figures from behind the start and from the finish", () => {
    // Hips pressed once are taken to be known to 5 px; at 20 m through a wide lens that is ± 11 cm, where refusing begins.
    const most = { blade_separation_m: 0.15, half_width_m: 0.25, recovery_to_midline_m: 0.25 };
    for (const view of ["behind", "finish"]) {
      for (const [name, share] of Object.entries(most)) {
        expect.soft(rowOf(ordinary.get(`${name}|${view}`)!).refused, `${name} ${view}`).toBeLessThan(share);
      }
    }
  });
});
