import { describe, expect, it } from "vitest";
import { type Shaking, shake } from "./shake.ts";
import type { Tally } from "./tally.ts";

/**
 * Simulated trials (section 10 of docs/precision.md, two skaters a placement) whose picture is moved frame by frame: what the
 * 95 % intervals hold. The share of chance is about ± 1.5 of 100 for all distances and ± 4 for one quantity.
 */
const SEED = 20260117;
const SKATERS = 2;

function held(tally: Tally, of: (quantity: string) => boolean): { share: number; given: number } {
  let [given, covered] = [0, 0];
  for (const [key, sums] of tally) {
    if (key.includes("|") || !of(key)) continue;
    given += sums.given;
    covered += sums.covered;
  }
  return { share: covered / given, given };
}

const distances = (quantity: string) => quantity.endsWith("_m");
const widths = (quantity: string) => quantity === "stride_width_m";
const done = new Map<string, Tally>();
function run(shaking: Shaking): Tally {
  const key = JSON.stringify(shaking);
  const tally = done.get(key) ?? shake(shaking, SEED, SKATERS, ["finish", "bench"]);
  done.set(key, tally);
  return tally;
}

describe("a clip whose picture shakes from frame to frame", () => {
  it.each([1.5, 4])(
    "by %s px is measured too surely where nobody has looked at its background",
    (shakePx) => {
      const tally = run({ shakePx, told: "nothing" });
      expect(held(tally, widths).share).toBeLessThan(shakePx === 4 ? 0.6 : 0.85);
    },
  );

  it.each([1.5, 4])(
    "by %s px is measured as one that stands still, once its background is known",
    (shakePx) => {
      const [still, shaken] = [run({ shakePx: 0, told: "nothing" }), run({ shakePx, told: "all" })];
      expect(held(shaken, distances).share).toBeGreaterThan(0.93);
      expect(held(shaken, distances).share).toBeLessThan(0.985);
      expect(held(shaken, widths).share).toBeGreaterThan(0.92);
      expect(held(shaken, distances).given).toBeGreaterThan(0.97 * held(still, distances).given);
    },
  );

  it("has all its shaking in the ± of frames of which the background does not tell, and where nobody said on which frame ice points were put", () => {
    for (const more of [{ told: { butShare: 0.33 } }, { told: "all", unsaid: true }] as const) {
      const tally = run({ shakePx: 4, ...more });
      expect(held(tally, distances).share).toBeGreaterThan(0.93);
      expect(held(tally, widths).share).toBeGreaterThan(0.92);
      expect(held(tally, widths).given).toBeGreaterThan(40);
    }
  });
});

describe("a clip that sways as a hand does, slowly", () => {
  it.each([8, 30])("within %s frames: its intervals hold as of one that shakes", (swayFrames) => {
    for (const more of [{ told: { butShare: 0.33 } }, { told: "all", unsaid: true }] as const) {
      const tally = run({ shakePx: 4, swayFrames, ...more });
      expect(held(tally, distances).share).toBeGreaterThan(0.93);
      expect(held(tally, (quantity) => quantity.startsWith("mean ")).share).toBeGreaterThan(0.93);
      expect(held(tally, widths).given).toBeGreaterThan(40);
    }
  });
});

describe("a clip whose camera was knocked", () => {
  it("is measured before and after the knock where ice points stand on both sides", () => {
    const tally = run({ shakePx: 0.5, told: "all", knock: { px: 8, points: "both" } });
    expect(held(tally, distances).share).toBeGreaterThan(0.92);
    expect(held(tally, widths).given).toBeGreaterThan(40);
  });
});
