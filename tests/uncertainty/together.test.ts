import { describe, expect, it } from "vitest";
import { Together } from "../../src/uncertainty/together.ts";
import {
  calculation,
  contributions,
  exactly,
  fromParts,
  linear,
  Sources,
  weightedSum,
} from "../../src/uncertainty/uncertain.ts";

/* A law: what is added up beforehand comes to what the same straight line gives, cause by cause (JCGM 100:2008, 5.2). */

const nearly = (a: number, b: number) => Math.abs(a - b) <= 1e-14 * (1 + Math.abs(a));

describe("numbers that values are linear in together", () => {
  const sources = new Sources();
  const [mark, other] = [sources.add(3, 0.2), sources.add(1, 0.5)];
  const first = sources.reserve(2);
  const numbers = [
    fromParts(0, [first, first + 1], [0.3, -0.1]),
    exactly(0),
    fromParts(0, [first + 1], [0.7]),
    weightedSum([[2, other]]),
  ];
  const slopes = [1.5, 4, 0, -0.25];
  const whole = calculation((v) => v, [mark, ...numbers]);
  const made = new Together(numbers).linear(8, [[0.4, mark]], slopes, whole, 0);
  const plain = linear(8, [mark, ...numbers], [0.4, ...slopes], whole);

  it("owe the same to every cause, and so do sums with others", () => {
    for (const of of [
      (v: typeof made) => v,
      (v: typeof made) =>
        weightedSum([
          [1, v],
          [3, mark],
          [-1, numbers[0]!],
        ]),
    ]) {
      const [a, b] = [contributions(of(made)), contributions(of(plain))];
      for (const source of new Set([...a.keys(), ...b.keys()]))
        expect(nearly(a.get(source) ?? 0, b.get(source) ?? 0)).toBe(true);
      expect(nearly(of(made).u95, of(plain).u95)).toBe(true);
    }
  });

  it("may all be exact", () => {
    const value = new Together([exactly(0)]).linear(8, [[0.4, exactly(3)]], [2], whole, 0);
    expect([value.value, value.u]).toEqual([8, 0]);
  });
});
