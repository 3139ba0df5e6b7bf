import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { Sources, weightedSum } from "../../src/uncertainty/uncertain.ts";
import { type Pinhole, pinhole } from "../helpers/pinhole.ts";
import { normal, seeded } from "../helpers/random.ts";

/*
 * One taped place that is wrong, with so few points that it hardly shows: what ± must hold. Cameras, layouts and marks are
 * the tests' own; the distance measured is that between two blades, across the lane and a stride apart.
 */

const SD = 1.2;
const VIEWS: readonly (readonly [
  name: string,
  camera: Pinhole,
  points: readonly (readonly [number, number])[],
])[] = [
  [
    "from the finish, points at the lane's edges",
    pinhole([30.6, 0.9, 2.4], [15, 0], 63),
    [
      [10.4, 1.8],
      [10.4, -1.8],
      [20.2, 1.8],
      [20.2, -1.8],
      [15.1, 1.8],
      [15.6, -1.8],
    ],
  ],
  [
    "from behind, points anyhow",
    pinhole([1.8, -1.4, 3.3], [14, 0.5], 70),
    [
      [9.1, 2.2],
      [10.6, -1.6],
      [18.8, 1.5],
      [17.3, -2.1],
      [13.2, 0.2],
      [14.7, 1.9],
    ],
  ],
  [
    "from the side, high up",
    pinhole([15.2, -10.5, 5.6], [14.8, 0], 68),
    [
      [11.2, 1.6],
      [10.7, -1.5],
      [19.1, 1.9],
      [18.6, -1.4],
      [14.4, -1.7],
      [15.5, 1.6],
    ],
  ],
];

interface Tally {
  shown: number;
  held: number;
  told: number;
  u95: number;
}

/** Widths of blades in many sets of `count` points, with one place off by (dx, dy) or none. */
function widths([, camera, places]: (typeof VIEWS)[number], count: number, dx: number, dy: number): Tally {
  const tally = { shown: 0, held: 0, told: 0, u95: 0 };
  for (let seed = 1; seed <= 60; seed++) {
    const random = seeded(977 * seed + count);
    const see = (x: number, y: number) => {
      const { xPx, yPx } = camera.see(x, y, 0);
      return { xPx: xPx + SD * normal(random), yPx: yPx + SD * normal(random) };
    };
    const wrong = seed % count;
    const sign = random() < 0.5 ? 1 : -1;
    const points = places.slice(0, count).map(([x, y], k): IcePoint => {
      const seen = see(x, y);
      const off = k === wrong ? sign : 0;
      return { label: `P${k + 1}`, ...seen, x: x + off * dx, y: y + off * dy };
    });
    const at = 12.5 + 5 * random();
    const half = 0.3 + 0.4 * random();
    const blades = [see(at, half), see(at + 1.1, -half)];
    try {
      const scale = fitScale({ kind: "ice-points", points }, camera, SD);
      const sources = new Sources();
      const ground = scale.ground(sources);
      const [a, b] = blades.map(
        (m) => ground.place({ u: sources.add(m.xPx, SD), v: sources.add(m.yPx, SD) }, 0)!,
      );
      const width = weightedSum([
        [1, a!.y],
        [-1, b!.y],
      ]);
      tally.shown++;
      tally.u95 += width.u95;
      if (Math.abs(width.value - 2 * half) <= width.u95) tally.held++;
      if (scale.summary.warnings.some((w) => w.code !== "few-ice-points")) tally.told++;
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      tally.told++;
    }
  }
  return tally;
}

const total = (list: readonly Tally[]) =>
  list.reduce((a, b) => ({
    shown: a.shown + b.shown,
    held: a.held + b.held,
    told: a.told + b.told,
    u95: a.u95 + b.u95,
  }));
const share = ({ held, shown }: Tally) => held / shown;

describe("one of four ice points taped wrong, which nothing shows", () => {
  it.each([
    ["30 cm across", 0, 0.3],
    ["20 cm across", 0, 0.2],
    ["30 cm along", 0.3, 0],
    ["20 cm askew", 0.14, -0.14],
  ])("is held by ± of widths in 90 of 100: %s", (_, dx, dy) => {
    const all = total(VIEWS.map((view) => widths(view, 4, dx, dy)));
    expect(all.shown).toBeGreaterThan(150);
    expect(share(all)).toBeGreaterThan(0.9);
  });
});

describe("one of five ice points taped wrong", () => {
  it.each([0.1, 0.2, 0.3])("is told of, or held by ± in 90 of 100: %s m across", (dy) => {
    for (const view of VIEWS) {
      const tally = widths(view, 5, 0, dy);
      const misses = tally.shown - tally.held;
      expect(misses).toBeLessThanOrEqual(Math.max(6, 0.1 * tally.shown));
    }
  });
});

describe("± of widths where every point is right", () => {
  it("is far narrower by six points than by four, and five lie between", () => {
    for (const view of VIEWS) {
      const [four, five, six] = [4, 5, 6].map((count) => widths(view, count, 0, 0)) as [Tally, Tally, Tally];
      const mean = ({ u95, shown }: Tally) => u95 / shown;
      expect(mean(four)).toBeGreaterThan(1.5 * mean(six));
      expect(mean(five)).toBeGreaterThan(mean(six));
      expect(mean(five)).toBeLessThan(mean(four));
    }
  });

  it("is by six points what it was: true to the marks' own errors, no wider", () => {
    const all = total(VIEWS.map((view) => widths(view, 6, 0, 0)));
    // 95 % of 180, SD 1.6 %.
    expect(share(all)).toBeGreaterThan(0.9);
    expect(share(all)).toBeLessThan(0.995);
  });
});
