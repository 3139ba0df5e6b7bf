import { describe, expect, it } from "vitest";
import { consensus } from "../../src/motion/consensus.ts";
import { type Match, refineMap } from "../../src/motion/fitMap.ts";
import { mapped, type PlaneMap, STAYS } from "../../src/motion/planeMap.ts";
import { normal, seeded } from "../helpers/random.ts";

const SIZE = { width: 640, height: 480 };
const SLANTED: PlaneMap = [1.01, 0.012, 3, -0.008, 0.99, -2, 4e-5, -3e-5, 1];
const SHIFTED: PlaneMap = [1, 0, 6.5, 0, 1, -3.25, 0, 0, 1];

/** Places all over the picture seen where `map` has them, every `n`-th moved on its own way. */
function seenBy(map: PlaneMap, { sd = 0, others = 0, random = seeded(5) } = {}): Match[] {
  return Array.from({ length: 180 }, (_, k) => {
    const from = { x: 20 + 600 * random(), y: 20 + 440 * random() };
    const to = mapped(map, from.x, from.y);
    if (k < others * 180) return { from, to: { x: from.x + 14, y: from.y + 9 }, trust: 1 };
    return { from, to: { x: to.x + sd * normal(random), y: to.y + sd * normal(random) }, trust: 1 };
  });
}

const worst = (a: PlaneMap, b: PlaneMap) =>
  Math.max(
    ...[0, 639].flatMap((x) =>
      [0, 479].map((y) => {
        const [p, q] = [mapped(a, x, y), mapped(b, x, y)];
        return Math.hypot(p.x - q.x, p.y - q.y);
      }),
    ),
  );

describe("the map most places agree on", () => {
  it("is exact for exact places: four numbers for a turn, eight for a slant", () => {
    expect(worst(refineMap(seenBy(SHIFTED), SHIFTED, "similar", SIZE)!.map, SHIFTED)).toBeLessThan(1e-6);
    expect(worst(refineMap(seenBy(SLANTED), SLANTED, "plane", SIZE)!.map, SLANTED)).toBeLessThan(1e-4);
  });

  it("is found though four places of ten move their own way together", () => {
    const matches = seenBy(SHIFTED, { sd: 0.05, others: 0.4 });
    const agreed = consensus(matches, STAYS, 1.5, seeded(3))!;
    expect(agreed.share).toBeGreaterThan(0.5);
    const fit = refineMap(matches, agreed.map, "similar", SIZE)!;
    expect(worst(fit.map, SHIFTED)).toBeLessThan(0.05);
    expect(fit.weights.slice(0, 72).every((w) => w === 0)).toBe(true);
    expect(fit.scatterPx).toBeGreaterThan(0.035);
    expect(fit.scatterPx).toBeLessThan(0.065);
  });

  it("is nothing where too few places are seen", () => {
    expect(consensus(seenBy(SHIFTED).slice(0, 5), STAYS, 1.5, seeded(3))).toBeNull();
    expect(refineMap(seenBy(SHIFTED), STAYS, "similar", SIZE)).toBeNull();
  });
});
