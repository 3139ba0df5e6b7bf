import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { phaseCorrelation } from "../../src/views/sound/phaseCorrelation.ts";

/** By NumPy and SciPy: tests/reference/sound.py. */
const { rate, every, cases } = JSON.parse(
  readFileSync(new URL("../reference/sound.json", import.meta.url), "utf8"),
) as {
  readonly rate: number;
  readonly every: number;
  readonly cases: readonly {
    readonly first: readonly number[];
    readonly second: readonly number[];
    readonly plain_lag: number;
    readonly phat: readonly number[];
    readonly phat_lag: number;
  }[];
};

describe("the correlation of two tracks", () => {
  it("is that of NumPy by Knapp and Carter's formula at every lag, and highest where SciPy's plain one is", () => {
    expect(cases.map((one) => one.plain_lag)).toEqual([93, -140, 0]);
    for (const { first, second, plain_lag, phat, phat_lag } of cases) {
      const track = (samples: readonly number[]) => ({ rate, begins: 0, samples: Int16Array.from(samples) });
      const found = phaseCorrelation(track(first), track(second));
      expect(found).toHaveLength(first.length + second.length - 1);
      const told = [...found].filter((_, k) => k % every === 0);
      expect(told).toHaveLength(phat.length);
      for (const [k, value] of phat.entries()) expect(Math.abs(told[k]! - value)).toBeLessThan(1e-10);
      const peak = found.indexOf(Math.max(...found)) - (second.length - 1);
      expect(peak).toBe(phat_lag);
      expect(peak).toBe(plain_lag);
    }
  });
});
