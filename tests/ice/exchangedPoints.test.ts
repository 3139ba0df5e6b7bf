import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { normal, seeded } from "../helpers/random.ts";

/*
 * What a camera above the ice can see is projective geometry: it keeps the order of four points round their outline
 * (Hartley and Zisserman, Multiple View Geometry, 2nd edition, 21.1: a camera that has all points in front preserves the
 * convex hull). Places and cameras are the tests' own.
 */

const CAMERAS = {
  "from the finish, low": pinhole([31.2, 0.7, 1.9], [15, 0.2], 58),
  "from the side, high": pinhole([14.1, -9.4, 5.2], [15.6, 0], 71),
  "from a corner": pinhole([3.4, 6.3, 2.7], [14.5, -0.4], 64),
} as const;
const PLACES = [
  ["A", 11.3, 1.9],
  ["B", 11.9, -1.6],
  ["C", 18.4, 1.7],
  ["D", 18.1, -2.0],
  ["E", 14.2, 1.8],
  ["F", 15.7, -1.75],
  ["G", 16.3, 0.3],
  ["H", 13.1, -0.6],
] as const;

type View = keyof typeof CAMERAS;

function points(view: View, count: number, noisePx = 0, seed = 1): IcePoint[] {
  const random = seeded(seed);
  return PLACES.slice(0, count).map(([label, x, y]) => {
    const seen = CAMERAS[view].see(x, y, 0);
    return {
      label,
      x,
      y,
      xPx: seen.xPx + noisePx * normal(random),
      yPx: seen.yPx + noisePx * normal(random),
    };
  });
}

function exchanged(list: readonly IcePoint[], a: string, b: string): IcePoint[] {
  const [p, q] = [a, b].map((label) => list.find((r) => r.label === label)!);
  const at = (r: IcePoint) => (r === p ? q! : r === q ? p! : r);
  return list.map((r) => ({ ...r, x: at(r).x, y: at(r).y }));
}

function refusal(view: View, list: readonly IcePoint[]): MeasureError {
  const { width, height } = CAMERAS[view];
  try {
    fitScale({ kind: "ice-points", points: list }, { width, height }, 1.5);
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}

const VIEWS = Object.keys(CAMERAS) as View[];
const PAIRS = (count: number) =>
  PLACES.slice(0, count).flatMap(([a], k) =>
    PLACES.slice(k + 1, count).map(([b]): [string, string] => [a, b]),
  );

describe.each(VIEWS)("ice points of which two are exchanged, %s", (view) => {
  it.each(PAIRS(4))("are refused where there are four: %s and %s", (a, b) => {
    for (const noisePx of [0, 1.5]) {
      const { code, coach } = refusal(view, exchanged(points(view, 4, noisePx, 7), a, b));
      expect(code).toBe("ice-points-mirrored");
      expect(coach).toContain(`${a} and ${b}`);
      expect(coach).toContain("exchanged");
    }
  });

  it.each([5, 6, 8])("are refused where there are %i, and named", (count) => {
    for (const [k, [a, b]] of PAIRS(count).entries()) {
      if (count === 8 && k % 3 > 0) continue;
      const { coach } = refusal(view, exchanged(points(view, count, 1.5, 10 + k), a, b));
      expect(coach).toContain(`${a} and ${b} are probably exchanged`);
    }
  });

  it.each([4, 5, 6, 8])("are called mirrored where all %i are", (count) => {
    const list = points(view, count, 1.5, count).map((p) => ({ ...p, y: -p.y }));
    expect(refusal(view, list).coach).toContain("left of the lane");
    const alongLane = points(view, count, 1.5, count).map((p) => ({ ...p, x: -p.x }));
    expect(refusal(view, alongLane).coach).toContain("which way x runs");
  });

  it.each([4, 5, 6, 8])("pass where %i are right", (count) => {
    const { width, height } = CAMERAS[view];
    for (let seed = 1; seed <= 40; seed++) {
      const list = points(view, count, 1.5, seed);
      expect(() => fitScale({ kind: "ice-points", points: list }, { width, height }, 1.5)).not.toThrow();
    }
  });
});

describe("ice points seen from the other end", () => {
  it("are no mistake: a rectangle turned round is the same rectangle", () => {
    const camera = CAMERAS["from a corner"];
    const list = points("from a corner", 8).map((p) => ({ ...p, x: 30 - p.x, y: -p.y }));
    const { x, y } = fitScale({ kind: "ice-points", points: list }, camera, 1.5).summary.camera!;
    expect(x).toBeCloseTo(30 - 3.4, 4);
    expect(y).toBeCloseTo(-6.3, 4);
  });
});
