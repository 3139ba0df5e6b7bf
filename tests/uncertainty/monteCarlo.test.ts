import { describe, expect, it } from "vitest";
import { pcg32, randomNumbers } from "../../src/statistics/randomNumbers.ts";
import { EVENT_SD_FRAMES, EVENT_SHAPE, EVENT_U95_FRAMES, SLIP_SHARE } from "../../src/time/eventTime.ts";
import { drawResults, summarise } from "../../src/uncertainty/monteCarlo.ts";
import {
  deriveOne,
  type ErrorShape,
  K95,
  Sources,
  type Uncertain,
  weightedSum,
} from "../../src/uncertainty/uncertain.ts";

/** Rectangle of SD 1; its cumulants: -6/5 and 48/7 (any handbook). */
const RECTANGLE: ErrorShape = {
  draw: (random) => Math.sqrt(12) * (random() - 0.5),
  fourth: -6 / 5,
  sixth: 48 / 7,
};

function drawn(value: Uncertain, draws: number, seed = 7) {
  const summary = summarise(drawResults([value], draws, randomNumbers(seed))[0]!);
  if (!summary) throw new Error("no draws");
  return summary;
}

const sum = (terms: readonly Uncertain[]) => weightedSum(terms.map((term) => [1, term]));

describe("Monte Carlo", () => {
  it("four normal inputs: u 2, interval ± 3.92", () => {
    // JCGM 101:2008, 9.2.2 (docs/references.md 3.3)
    const s = new Sources();
    const { mean, u, low, high } = drawn(sum([1, 2, 3, 4].map(() => s.add(0, 1))), 400_000);
    expect(mean).toBeCloseTo(0, 1.5);
    expect(u).toBeCloseTo(2, 1.5);
    expect(low).toBeCloseTo(-3.92, 1);
    expect(high).toBeCloseTo(3.92, 1);
  });

  it("four rectangular inputs: interval ± 3.879, which the normal ± 3.92 misses and the cumulants meet", () => {
    // JCGM 101:2008, 9.2.3; exact 2√3 [2 − (3/5)^¼] = 3.879 406 741 348 (docs/references.md 3.3 [computed])
    const s = new Sources();
    const y = sum([1, 2, 3, 4].map(() => s.add(0, 1, RECTANGLE)));
    const { low, high } = drawn(y, 400_000);
    // 0.03: four standard errors of a 97.5 % point from 400,000 draws
    expect(Math.abs(high - 3.8794)).toBeLessThan(0.03);
    expect(Math.abs(low + 3.8794)).toBeLessThan(0.03);
    expect(y.u95).toBeCloseTo(3.8794, 2);
    expect(K95 * y.u).toBeCloseTo(3.92, 3);
  });

  it("one rectangle ten times the others: ± 17.016 where the normal says 19.89", () => {
    // JCGM 101:2008, 9.2.4; exact 17.015 814 100, u √103 (docs/references.md 3.3 [computed: scipy])
    const s = new Sources();
    const y = sum([1, 1, 1, 10].map((u) => s.add(0, u, RECTANGLE)));
    const { u, high } = drawn(y, 400_000);
    expect(high).toBeCloseTo(17.0158, 1);
    expect(Math.abs(u - 10.148891565)).toBeLessThan(0.03);
    expect(1.96 * y.u).toBeCloseTo(19.891827, 5);
    // A rectangle that is nearly all there is: the cumulants fall between, on the safe side.
    expect(y.u95).toBeGreaterThan(17.0158);
    expect(y.u95).toBeLessThan(19.2);
  });

  it("mass calibration: the linear law misses half of the spread, drawing does not", () => {
    // JCGM 101:2008, 9.3; linear 0.053 851 648, drawn 1.233 93, 0.075 47, [1.0840, 1.3830] ± 0.001 (docs/references.md 3.3 [computed: numpy])
    const s = new Sources();
    const between = (a: number, b: number) => s.add((a + b) / 2, (b - a) / Math.sqrt(12), RECTANGLE);
    const y = deriveOne(
      (mR, dmR, air, rhoW, rhoR) => (mR + dmR) * (1 + (air - 1.2) * (1 / rhoW - 1 / rhoR)) - 100_000,
      [s.add(100_000, 0.05), s.add(1.234, 0.02), between(1.1, 1.3), between(7000, 9000), between(7950, 8050)],
    );
    expect(y.u).toBeCloseTo(0.053851648, 6);
    const { mean, u, low, high } = drawn(y, 400_000);
    expect(Math.abs(mean - 1.23393)).toBeLessThan(0.001);
    expect(Math.abs(u - 0.07547)).toBeLessThan(0.001);
    // Their interval is the shortest, ours leaves the same on both sides: for this shape alike to 0.002.
    expect(Math.abs(low - 1.084)).toBeLessThan(0.002);
    expect(Math.abs(high - 1.383)).toBeLessThan(0.002);
  });

  it("draws what two results share once", () => {
    const s = new Sources();
    const shared = s.add(5, 2);
    const difference = weightedSum([
      [1, sum([shared, s.add(0, 0.1)])],
      [-1, shared],
    ]);
    expect(drawn(difference, 20_000).u).toBeCloseTo(0.1, 2);
  });

  it("gives the same draws for the same seed, others for another", () => {
    const s = new Sources();
    const y = s.add(0, 1);
    const row = (seed: number) => [...drawResults([y], 1234, randomNumbers(seed))[0]!];
    expect(row(3)).toEqual(row(3));
    expect(row(3)).not.toEqual(row(4));
  });

  it("says so when a draw in a hundred has no answer", () => {
    const s = new Sources();
    const root = deriveOne((x) => Math.sqrt(x), [s.add(1, 1)]);
    expect(summarise(drawResults([root], 5000, randomNumbers(1))[0]!)).toBeNull();
  });
});

describe("event frames", () => {
  it("one event: 95 of 100 within its stated half-width, SD as stated", () => {
    const s = new Sources();
    const { u } = drawn(s.add(0, EVENT_SD_FRAMES, EVENT_SHAPE), 200_000);
    expect(u).toBeCloseTo(EVENT_SD_FRAMES, 2);
    const row = drawResults([s.add(0, EVENT_SD_FRAMES, EVENT_SHAPE)], 200_000, randomNumbers(2))[0]!;
    expect(row.filter((e) => Math.abs(e) <= EVENT_U95_FRAMES).length / row.length).toBeCloseTo(0.95, 2);
  });

  it("the difference of two: the exact 95 % half-width, wider than 1.96 SD", () => {
    // By hand: a triangle on ± 1 and slips of 0, ± 1, ± 2 with (1 − p)² + p²/2, p (1 − p), p²/4:
    // P(|X| > h) = 2 [p (1 − p) (2 − h)²/2 + p²/4 (1 − (h − 1)²/2)] for 1 < h < 2
    const p = SLIP_SHARE;
    const beyond = (h: number) =>
      2 * ((p * (1 - p) * (2 - h) ** 2) / 2 + (p ** 2 / 4) * (1 - (h - 1) ** 2 / 2));
    let [low, high] = [1, 2];
    for (let k = 0; k < 60; k++) {
      const middle = (low + high) / 2;
      if (beyond(middle) > 0.05) low = middle;
      else high = middle;
    }
    const s = new Sources();
    const two = [1, 2].map(() => s.add(0, EVENT_SD_FRAMES, EVENT_SHAPE));
    const interval = weightedSum([
      [1, two[0]!],
      [-1, two[1]!],
    ]);
    expect(interval.u95 / low).toBeGreaterThan(0.99);
    expect(interval.u95 / low).toBeLessThan(1.01);
    expect(interval.u95).toBeGreaterThan(1.03 * K95 * interval.u);
  });
});

describe("random numbers", () => {
  it("are those of the published generator", () => {
    // pcg32-demo of O'Neill's C library, seed 42, stream 54, round 1: 0xa15c02b7 0x7b47f409 0xba1d3330 0x83d2f293 0xbfa4784b 0xcbed606e
    const next = pcg32(42, 54);
    expect([1, 2, 3, 4, 5, 6].map(() => next())).toEqual([
      0xa15c02b7, 0x7b47f409, 0xba1d3330, 0x83d2f293, 0xbfa4784b, 0xcbed606e,
    ]);
  });
});
