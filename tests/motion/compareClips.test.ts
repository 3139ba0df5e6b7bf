import { describe, expect, it } from "vitest";
import { compareClips, type NotAlike, type TurnBetween } from "../../src/motion/compareClips.ts";
import type { Grey } from "../../src/motion/grey.ts";
import { onlyTurned } from "../../src/motion/onlyTurned.ts";
import { DrawnScene, type Shift } from "../helpers/drawnScene.ts";
import { seeded } from "../helpers/random.ts";

/** Scenes drawn in closed form (tests/helpers/drawnScene.ts), 180 x 136 px, a sensor's noise of 3 levels, somebody passing. */
const SIZE = { width: 180, height: 136 };

function clip(scene: DrawnScene, shift: Shift, seed: number, frames = 2): Grey[] {
  const random = seeded(seed);
  return Array.from({ length: frames }, (_, n) =>
    scene.seen(shift, {
      passer: { x: 30 + 50 * n + (seed % 20), y: 70, radius: 14 },
      noise: { sd: 3, random },
    }),
  );
}

const scene = new DrawnScene(SIZE.width, SIZE.height, 3);
const start = clip(scene, {}, 11);
const against = (shift: Shift, seed = 12) => compareClips(start, clip(scene, shift, seed));
const why = (found: TurnBetween | NotAlike) => (found.alike ? null : found.why);

describe("two clips of one camera", () => {
  it("are told how it was turned in between, within what is stated", () => {
    const shifts: Shift[] = [
      {},
      { dx: -0.45, dy: 0.2, turnDeg: 0.05 },
      { dx: 14.5, dy: 3.25, turnDeg: -0.7 },
    ];
    for (const [k, shift] of shifts.entries()) {
      const found = against(shift, 20 + k);
      if (!found.alike) throw new Error(found.text);
      for (const [known, truth, most] of [
        [found.dxPx, shift.dx ?? 0, 0.1],
        [found.dyPx, shift.dy ?? 0, 0.1],
        [found.turnDeg, shift.turnDeg ?? 0, 0.06],
      ] as const) {
        // Three standard uncertainties: nine numbers are looked at.
        expect(Math.abs(known.value - truth)).toBeLessThan(3 * known.u);
        expect(known.u).toBeLessThan(most);
      }
    }
  });

  it("are not said to share a scale where one is zoomed, or the camera was carried", () => {
    expect(why(against({ scale: 1.02 }))).toBe("zoom");
    // What is far (the upper half) moves by two pixels, what is near by seven: a camera carried aside.
    const [far, near] = [clip(scene, { dx: 2 }, 31), clip(scene, { dx: 7 }, 31)];
    const carried = far.map((grey, n) => ({
      ...grey,
      data: Uint8Array.from(grey.data, (v, i) => (i < grey.data.length / 2 ? v : near[n]!.data[i]!)),
    }));
    expect(["place", "elsewhere"]).toContain(why(compareClips(start, carried)));
    expect(why(compareClips(start, clip(new DrawnScene(SIZE.width, SIZE.height, 8), {}, 5)))).toBe(
      "elsewhere",
    );
  });

  it("are refused where a picture can't tell", () => {
    const bare = start.map(({ width, height }) => ({
      width,
      height,
      data: new Uint8Array(width * height).fill(128),
    }));
    expect([why(compareClips(start, bare)), why(compareClips(bare, start))]).toEqual(["bare", "bare"]);
    expect(why(compareClips(start, clip(new DrawnScene(150, 136, 3), {}, 5)))).toBe("size");
    const knocked = [...clip(scene, {}, 6, 2), ...clip(scene, { dx: 4 }, 7, 2)];
    expect(why(compareClips(start, knocked))).toBe("moves");
    expect(why(compareClips([], start))).toBe("bare");
  });
});

it("a camera that only turns is told from one that is carried or zooms", () => {
  // Turned by 3 degrees about its vertical axis, 500 px of focal length: K R K^-1 in closed form (Hartley and Zisserman 8.4.2).
  const [f, c, s] = [500, Math.cos(Math.PI / 60), Math.sin(Math.PI / 60)];
  const [cx, cy] = [89.5, 67.5];
  const turn = [
    c + (cx * -s) / f,
    0,
    f * s + cx * c - cx * (c + (cx * -s) / f),
    (cy * -s) / f,
    1,
    0,
    -s / f,
    0,
    0,
  ];
  turn[5] = cy * c - cy - (turn[3] as number) * cx;
  turn[8] = c + (s * cx) / f;
  turn[2] = f * s + cx * c - (turn[0] as number) * cx;
  const pan = turn.map((v) => v / (turn[8] as number));
  expect(onlyTurned(pan, SIZE).turned).toBeLessThan(0.1);
  const zoom = [1.02, 0, -0.02 * cx, 0, 1.02, -0.02 * cy, 0, 0, 1];
  expect(onlyTurned(zoom, SIZE).turned).toBeGreaterThan(0.6);
  expect(onlyTurned(zoom, SIZE).zoomed).toBeLessThan(0.01);
  const stretched = [1.02, 0, -0.02 * cx, 0, 1, 0, 0, 0, 1];
  expect(onlyTurned(stretched, SIZE).zoomed).toBeGreaterThan(0.3);
});
