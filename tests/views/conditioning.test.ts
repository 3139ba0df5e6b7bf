import { describe, expect, it } from "vitest";
import { Sources, weightedSum } from "../../src/uncertainty/uncertain.ts";
import { Conditioning, misfit } from "../../src/views/joint/conditioning.ts";

/** Two ways to one number, with SDs a and b of their own and c that both share. */
function twoWays(a: number, b: number, c: number) {
  const sources = new Sources();
  const shared = sources.add(0, c);
  const way = (value: number, u: number) =>
    weightedSum([
      [1, sources.add(value, u)],
      [1, shared],
    ]);
  const [first, second] = [way(10, a), way(13, b)];
  const difference = weightedSum([
    [1, first],
    [-1, second],
  ]);
  return { first, second, difference };
}

describe("Conditioning", () => {
  // Two correlated measurements: weights by inverse variance of what is their own; what is shared stays (closed form of
  // generalised least squares, Rao 1973, 4a.2).
  it("weighs two ways by what is their own, and leaves what they share", () => {
    const [a, b, c] = [2, 3, 1.5];
    const { first, second, difference } = twoWays(a, b, c);
    const known = new Conditioning([difference]);
    const [wa, wb] = [1 / a ** 2, 1 / b ** 2];
    for (const way of [first, second]) {
      const both = known.applied(way);
      expect(both.value).toBeCloseTo((10 * wa + 13 * wb) / (wa + wb), 10);
      expect(both.u).toBeCloseTo(Math.sqrt(1 / (wa + wb) + c ** 2), 10);
    }
  });

  it("learns nothing from the same difference twice, or from what follows from the others", () => {
    const { first, difference } = twoWays(2, 3, 1.5);
    const once = new Conditioning([difference]).applied(first);
    const twice = new Conditioning([difference, weightedSum([[-7, difference]])]);
    expect(twice.count).toBe(1);
    expect(twice.applied(first).value).toBeCloseTo(once.value, 10);
    expect(twice.applied(first).u).toBeCloseTo(once.u, 10);
  });

  it("leaves alone what shares nothing with the differences", () => {
    const { difference } = twoWays(2, 3, 1.5);
    const sources = new Sources();
    sources.reserve(10);
    const other = sources.add(5, 1);
    expect(new Conditioning([difference]).applied(other)).toBe(other);
  });

  it("counts misfit as chi-square with as many degrees of freedom as there are independent differences", () => {
    const { difference } = twoWays(2, 3, 1.5);
    const { square, df } = misfit([difference, weightedSum([[2, difference]])]);
    expect(square).toBeCloseTo(9 / (4 + 9), 10);
    expect(df).toBe(1);
  });
});
