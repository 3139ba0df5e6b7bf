import { describe, expect, it } from "vitest";
import { runOrder, williams } from "../../src/trials/runOrder.ts";

const names = (n: number) => Array.from({ length: n }, (_, i) => `S${i + 1}`);
const sequenceOf = (rows: ReturnType<typeof runOrder>["rows"], skater: string) =>
  rows.filter((r) => r.skater === skater).map((r) => r.technique);

describe("run order of two techniques", () => {
  it("is ABBA or BAAB for each skater, half of them each", () => {
    for (const seed of [0, 1, 2, 77, 2 ** 31]) {
      const { rows, notes } = runOrder({ skaters: names(6), techniques: ["A", "B"], repeats: 2, seed });
      const kinds = names(6).map((s) => sequenceOf(rows, s).join(""));
      expect(kinds.filter((k) => k === "ABBA")).toHaveLength(3);
      expect(kinds.filter((k) => k === "BAAB")).toHaveLength(3);
      expect(notes).toEqual([]);
      expect(rows.map((r) => r.order)).toEqual(rows.map((_, i) => i + 1));
    }
  });

  it("lets everybody skate once before anybody skates again", () => {
    const { rows } = runOrder({ skaters: names(5), techniques: ["A", "B"], repeats: 3, seed: 4 });
    for (let round = 0; round < 6; round++) {
      const turn = rows.slice(5 * round, 5 * round + 5).map((r) => r.skater);
      expect(turn).toEqual(rows.slice(0, 5).map((r) => r.skater));
      expect(new Set(turn).size).toBe(5);
    }
  });

  it("counts repeats within skater and technique", () => {
    const { rows } = runOrder({ skaters: names(3), techniques: ["A", "B"], repeats: 4, seed: 9 });
    expect(rows).toHaveLength(24);
    expect(new Set(rows.map((r) => `${r.skater} ${r.technique} ${r.repeat}`)).size).toBe(24);
    const own = rows.filter((r) => r.skater === "S2" && r.technique === "A").map((r) => r.repeat);
    expect(own).toEqual([1, 2, 3, 4]);
  });

  it("cancels a steady change through the day: both techniques have the same mean place", () => {
    const { rows } = runOrder({ skaters: names(4), techniques: ["A", "B"], repeats: 2, seed: 3 });
    for (const skater of names(4)) {
      const places = sequenceOf(rows, skater);
      const sum = (t: string) => places.reduce((s, p, i) => s + (p === t ? i : 0), 0);
      expect(sum("A")).toBe(sum("B"));
    }
  });

  it("is the same for the same seed and differs between seeds", () => {
    const make = (seed: number) =>
      JSON.stringify(runOrder({ skaters: names(6), techniques: ["A", "B"], repeats: 2, seed }));
    expect(make(5)).toBe(make(5));
    expect(new Set([1, 2, 3, 4, 5, 6, 7, 8].map(make)).size).toBeGreaterThan(6);
  });

  it("says what it could not balance", () => {
    expect(runOrder({ skaters: names(5), techniques: ["A", "B"], repeats: 3, seed: 1 }).notes).toHaveLength(
      2,
    );
  });

  it.each([
    [{ skaters: [], techniques: ["A", "B"], repeats: 2, seed: 1 }, /skaters first/],
    [{ skaters: ["x"], techniques: ["A"], repeats: 2, seed: 1 }, /two techniques/],
    [{ skaters: ["x"], techniques: ["A", "B"], repeats: 0, seed: 1 }, /1 to 20/],
    [{ skaters: ["x", "x"], techniques: ["A", "B"], repeats: 1, seed: 1 }, /same name/],
  ])("refuses what makes no order", (request, words) => {
    expect(() => runOrder(request)).toThrow(expect.objectContaining({ coach: expect.stringMatching(words) }));
  });
});

describe("Williams designs (Williams 1949)", () => {
  // The definition: each treatment once in each place, each ordered pair of neighbours equally often
  // (n even: once; n odd: twice).
  it.each([2, 3, 4, 5, 6, 7])("%i treatments are balanced for place and for what went before", (n) => {
    const rows = williams(n);
    const times = n % 2 === 0 ? 1 : 2;
    expect(rows).toHaveLength(n * times);
    for (let place = 0; place < n; place++) {
      for (let treatment = 0; treatment < n; treatment++) {
        expect(rows.filter((row) => row[place] === treatment)).toHaveLength(times);
      }
    }
    const pairs = new Map<string, number>();
    for (const row of rows) {
      for (let i = 1; i < n; i++) {
        const pair = `${row[i - 1]} ${row[i]}`;
        pairs.set(pair, (pairs.get(pair) ?? 0) + 1);
      }
    }
    expect(pairs.size).toBe(n * (n - 1));
    expect(new Set(pairs.values())).toEqual(new Set([times]));
  });

  // The six orders of three and the square of four, as a published table has them (docs/references.md 2.11).
  it("gives the six orders of three and neighbours of the square of four", () => {
    const letters = (rows: number[][]) => rows.map((row) => row.map((t) => "ABCD"[t]).join(""));
    expect(letters(williams(3)).sort()).toEqual(["ABC", "ACB", "BAC", "BCA", "CAB", "CBA"]);
    expect(letters(williams(4)).sort()).toEqual(["ABDC", "BCAD", "CDBA", "DACB"]);
  });
});
