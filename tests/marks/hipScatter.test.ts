import { describe, expect, it } from "vitest";
import { ENOUGH_HIP_FRAMES, hipScatter } from "../../src/marks/hipScatter.ts";
import type { Mark } from "../../src/study/types.ts";
import { normal, seeded } from "../helpers/random.ts";

/** Both hips of a skater who comes from 30 to 9 m at 7 m/s before a lens of 1500 px, 25 cm apart, marked three times a stride. */
function hips(sdPx: number, random: () => number, shared = 0): Mark[] {
  return Array.from({ length: 30 }, (_, k): Mark[] => {
    const time = 0.1 * k + 0.03 * random();
    const focal = 1500 / (30 - 7 * time);
    const frame = Math.round(60 * time);
    // Both together: what no difference shows.
    const [dx, dy] = [shared * normal(random), shared * normal(random)];
    // The pelvis leans by 1 cm and turns by 0.5 cm to either side, push after push.
    const lean = 0.01 * Math.sin(2 * Math.PI * 1.5 * time);
    return (["left", "right"] as const).map((side) => ({
      ...{ frame, time, point: "hip", side },
      xPx: 640 + (side === "right" ? -1 : 1) * (0.125 + lean / 4) * focal + dx + sdPx * normal(random),
      yPx: 300 + (side === "right" ? -1 : 1) * (lean / 2) * focal + dy + sdPx * normal(random),
    }));
  }).flat();
}

describe("how evenly a trial's hips lie", () => {
  it.each([1, 2, 5, 10])("tells an SD of %d px, hardly ever too small", (sdPx) => {
    const random = seeded(40 + sdPx);
    const found = Array.from({ length: 400 }, () => hipScatter(hips(sdPx, random))!).sort((a, b) => a - b);
    const mean = found.reduce((a, b) => a + b, 0) / found.length;
    expect(mean).toBeGreaterThan(sdPx);
    expect(mean).toBeLessThan(1.35 * sdPx + 0.3);
    // One in twenty is off by no more than a quarter.
    expect(found[20]!).toBeGreaterThan(0.75 * sdPx);
  });

  it("takes growing with nearness and turning for nothing", () => {
    expect(hipScatter(hips(0, seeded(3)))).toBeLessThan(0.6);
  });

  it("cannot see an error that both hips share", () => {
    expect(hipScatter(hips(1, seeded(5), 8))).toBeLessThan(2);
  });

  it("says nothing of few frames, of one hip alone, and of marks that carry their own SD", () => {
    const all = hips(1, seeded(4));
    expect(hipScatter(all.slice(0, 2 * (ENOUGH_HIP_FRAMES - 1)))).toBeNull();
    expect(hipScatter(all.filter((m) => m.side === "left"))).toBeNull();
    expect(hipScatter(all.map((m) => ({ ...m, uPx: 1 })))).toBeNull();
  });
});
