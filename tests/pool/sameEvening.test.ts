import { expect, it } from "vitest";
import { sameEvening } from "../../src/pool/sameEvening.ts";
import type { TimedStudy } from "../../src/study/timed.ts";
import { dice } from "../validate/random.ts";

/** Sprint times of an evening, s, read to so many decimals, in the order they were skated. */
function evening(seed: number, trials = 12, decimals = 2): readonly number[] {
  const d = dice(77, seed);
  return Array.from({ length: trials }, () => Number((4.6 + d.normal(0.12)).toFixed(decimals)));
}

const study = (times: readonly (number | null)[]) =>
  ({ trials: times.map((time, order) => ({ order, time })) }) as unknown as TimedStudy;
const named = (...all: (readonly (number | null)[])[]) =>
  all.map((times, k) => ({ name: `evening ${k + 1}`, study: study(times) }));

it("names a copy, also one in which a time was mended or taken away", () => {
  const own = evening(1);
  expect(sameEvening(named(own, evening(2), own))).toEqual({
    one: "evening 1",
    other: "evening 3",
    equal: 12,
    of: 12,
  });
  expect(
    sameEvening(
      named(
        own,
        own.map((t, k) => (k === 4 ? t + 0.3 : t)),
      ),
    ),
  ).toMatchObject({ equal: 11, of: 12 });
  expect(
    sameEvening(
      named(
        own,
        own.map((t, k) => (k === 4 ? null : t)),
      ),
    ),
  ).toMatchObject({ equal: 11, of: 11 });
});

// Judged by drawing: 400 pairs of evenings that have nothing in common, by clocks of three kinds.
it.each([0.1, 0.01, 0.001])("takes no two evenings for one by chance, read to %s s", (step) => {
  let taken = 0;
  for (let seed = 0; seed < 400; seed++) {
    const decimals = -Math.log10(step);
    if (sameEvening(named(evening(1000 + seed, 6, decimals), evening(5000 + seed, 6, decimals)))) taken += 1;
  }
  expect(taken).toBe(0);
});

it("says nothing of a handful of trials, and of times that are all alike", () => {
  const few = evening(3, 5);
  expect(sameEvening(named(few, few))).toBeNull();
  const alike = Array.from({ length: 10 }, (_, k) => 4.5 + (k % 3) / 10);
  expect(sameEvening(named(alike, alike))).toBeNull();
  expect(sameEvening([])).toBeNull();
});
