import { describe, expect, it } from "vitest";
import { Straightening } from "../../src/ice/camera/bend.ts";
import { solvePlane, straightened } from "../../src/motion/fitMap.ts";
import { learnBend, type Pair } from "../../src/motion/learnBend.ts";
import { seenAt } from "../../src/motion/planeMap.ts";
import { angles, brown, type Eye, seenByTurned } from "../helpers/bentPan.ts";
import { normal, seeded } from "../helpers/random.ts";

/** Places over the picture of a camera that turns, by closed form (tests/helpers/bentPan.ts), found to a tenth of a pixel. */
const SIZE = { width: 1280, height: 720 };
const PANS = [0.03, 0.06, 0.1, 0.15, 0.2, 0.25];

type Where = readonly [number, number];

function pairsOf(eye: Eye, moved: (p: Where, pan: number) => Where = (p) => p, pans = PANS): Pair[] {
  const random = seeded(12);
  return pans.map((pan) => {
    const matches = Array.from({ length: 200 }, () => {
      const from: Where = [20 + 1240 * random(), 20 + 680 * random()];
      const seen = seenByTurned(eye, pan, 0.03 * pan, from);
      const to = seen && moved(seen, pan);
      const isIn = to && to[0] > 10 && to[1] > 10 && to[0] < SIZE.width - 11 && to[1] < SIZE.height - 11;
      if (!isIn) return [];
      // One of twelve is somebody who walks by.
      const aside = random() < 0.08 ? 30 : 0;
      const noise = () => 0.1 * normal(random);
      return [
        {
          from: { x: from[0], y: from[1] },
          to: { x: to[0] + aside + noise(), y: to[1] + noise() },
          trust: 1,
        },
      ];
    }).flat();
    return { matches, weights: matches.map((m) => (Math.abs(m.to.x - m.from.x) > 0 ? 1 : 0)) };
  });
}

/** Farthest that a lens and the map that suits it best leave a place of a pan from where it is seen, px. */
function worst(eye: Eye, bend: { second: number; fourth: number } | null, pan: number): number {
  const lens = bend && new Straightening(bend, SIZE);
  const grid = [0.02, 0.25, 0.5, 0.75, 0.98].flatMap((a) =>
    [0.03, 0.35, 0.65, 0.97].map((d): Where => [a * (SIZE.width - 1), d * (SIZE.height - 1)]),
  );
  const seen = grid.flatMap((from) => {
    const to = seenByTurned(eye, pan, 0, from);
    const isIn = to && to[0] > 0 && to[1] > 0 && to[0] < SIZE.width && to[1] < SIZE.height;
    return isIn ? [{ from: { x: from[0], y: from[1] }, to: { x: to[0], y: to[1] }, trust: 1 }] : [];
  });
  const map = solvePlane(
    straightened(seen, lens),
    seen.map(() => 1),
    SIZE,
  )!;
  return Math.max(
    ...seen.map(({ from, to }) => {
      const at = seenAt(map, from.x, from.y, lens);
      return Math.hypot(at.x - to.x, at.y - to.y);
    }),
  );
}

const eyeOf = (hfovDeg: number, seen: Eye["seen"]): Eye => ({ ...SIZE, hfovDeg, seen });

describe("what a pan shows of the lens", () => {
  it.each([
    ["65 degrees, k1 = -0.12", eyeOf(65, brown(-0.12))],
    ["60 degrees, k1 = -0.2", eyeOf(60, brown(-0.2))],
    // As OpenCV's sample chessboards (samples/data/left01.jpg …) show it, about; from memory.
    ["two terms", eyeOf(62, brown(-0.28, 0.08))],
    ["equidistant", eyeOf(60, angles(1))],
    ["keeping angles in part", eyeOf(70, angles(0.6))],
    ["65 degrees, k1 = 0.05", eyeOf(65, brown(0.05))],
  ])("%s: places come to lie within half a pixel where without it they were off by many", (_, eye) => {
    const learned = learnBend(pairsOf(eye), SIZE, null, "all of the pan")!;
    expect(worst(eye, null, 0.3)).toBeGreaterThan(1.2);
    expect(worst(eye, learned, 0.15)).toBeLessThan(0.5);
    expect(worst(eye, learned, 0.3)).toBeLessThan(0.7);
    // Beginning from another lens it comes to the same.
    const again = learnBend(
      pairsOf(eye),
      SIZE,
      { second: learned.second + 0.03, fourth: 0 },
      "all of the pan",
    )!;
    expect(again.second).toBeCloseTo(learned.second, 3);
    expect(learned.drift).toBeGreaterThan(0);
    expect(learned.drift).toBeLessThan(0.001);
  });

  it("is nothing where lines stay straight, whatever a rolling shutter does", () => {
    const eye = eyeOf(65, brown(0));
    expect(learnBend(pairsOf(eye), SIZE, null, "all of the pan")).toBeNull();
    // Rows read in 20 ms: slanted by the speed at each row, which itself grows and falls (a hand's jerk), px a picture's height.
    const slanted = pairsOf(eye, ([x, y], pan) => {
      const row = y / SIZE.height - 0.5;
      return [x + row * (26 + 40 * pan) * (1 + ((x - 640) / 1004) ** 2) + 0.3 * row ** 2, y];
    });
    const through = learnBend(slanted, SIZE, null, "all of the pan");
    // What of it looks like a lens moves no place by more than what the slant itself leaves.
    expect(Math.abs(through?.second ?? 0)).toBeLessThan(0.004);
  });

  it("is nothing where the camera hardly moves, or nothing was seen", () => {
    const eye = eyeOf(65, brown(-0.12));
    expect(
      learnBend(pairsOf(eye, undefined, [0.0004, 0.0008, 0.001]), SIZE, null, "all of the pan"),
    ).toBeNull();
    expect(learnBend([], SIZE, null, "all of the pan")).toBeNull();
    expect(learnBend([{ matches: [], weights: [] }], SIZE, null, "all of the pan")).toBeNull();
  });
});
