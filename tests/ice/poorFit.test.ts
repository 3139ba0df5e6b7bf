import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { poorMisfit, refusedMisfit } from "../../src/ice/points/poorFit.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { normal, seeded } from "../helpers/random.ts";

const camera = pinhole([27.4, -3.1, 2.6], [14, 0.3], 61);
const PICTURE = { width: camera.width, height: camera.height };

/** Places on both edges of a lane and between them, as they come. */
const PLACES = [
  [9.2, 1.8],
  [10.1, -1.7],
  [19.4, 1.6],
  [18.8, -1.9],
  [13.7, 0.2],
  [15.9, 1.7],
  [14.6, -1.8],
  [11.5, 1.9],
  [17.2, -1.6],
  [12.4, -0.7],
  [16.8, 0.6],
  [20.1, -0.3],
] as const;

function warned(count: number, seed: number): boolean {
  const random = seeded(seed);
  const points = PLACES.slice(0, count).map(([x, y], k): IcePoint => {
    const seen = camera.see(x, y, 0);
    const [xPx, yPx] = [seen.xPx + 1.5 * normal(random), seen.yPx + 1.5 * normal(random)];
    return { label: `P${k + 1}`, x, y, xPx, yPx };
  });
  const { warnings } = fitScale({ kind: "ice-points", points }, PICTURE, 1.5).summary;
  return warnings.some((w) => w.code === "ice-points-fit-poorly");
}

describe("good ice points said to disagree", () => {
  it.each([5, 6, 7, 8, 10])("are one set in fifty where there are %i", (count) => {
    const sets = 800;
    let alarms = 0;
    for (let seed = 1; seed <= sets; seed++) if (warned(count, 1000 * count + seed)) alarms++;
    // Binomial: 16 ± 4 of 800; a lens taken for real now and then hides one.
    expect(alarms).toBeLessThanOrEqual(28);
    expect(alarms).toBeGreaterThanOrEqual(4);
  });

  it("are fewer where there are many: then a small misfit is no matter", () => {
    let alarms = 0;
    for (let seed = 1; seed <= 400; seed++) if (warned(12, 20_000 + seed)) alarms++;
    // Chi-square over 1.4² × 16 at 16 degrees of freedom: 1.2 % (R pchisq), 5 ± 2 of 400.
    expect(alarms).toBeLessThanOrEqual(12);
  });
});

describe("the misfit that points are allowed", () => {
  it("is chi-square's, for their degrees of freedom", () => {
    // In closed form for 2 degrees of freedom: the chance of more than c is exp(-c / 2).
    expect(poorMisfit(2)).toBeCloseTo(Math.sqrt(-Math.log(0.02)), 9);
    expect(refusedMisfit(2)).toBeCloseTo(Math.sqrt(-Math.log(1e-6)), 6);
    // R: sqrt(qchisq(0.98, 8) / 8)
    expect(poorMisfit(8)).toBeCloseTo(Math.sqrt(18.16823 / 8), 5);
  });

  it("is 1.4 and 3 marking SD for many points", () => {
    expect([poorMisfit(32), refusedMisfit(32)]).toEqual([1.4, 3]);
  });

  it("is anything where four points fit exactly whatever they are", () => {
    expect(poorMisfit(0)).toBe(Number.POSITIVE_INFINITY);
  });
});
