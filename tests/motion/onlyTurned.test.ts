import { describe, expect, it } from "vitest";
import { onlyTurned } from "../../src/motion/onlyTurned.ts";
import { dice } from "../validate/random.ts";

const SIZE = { width: 1280, height: 720 };

type M = readonly number[];
const times = (a: M, b: M): number[] =>
  [0, 1, 2].flatMap((r) =>
    [0, 1, 2].map((c) => [0, 1, 2].reduce((sum, k) => sum + a[3 * r + k]! * b[3 * k + c]!, 0)),
  );

/** Rotations about the axes one after the other, written out: K R K\u207b\u00b9 (Hartley and Zisserman, 8.4.2) by hand. */
function turnedBy([x, y, z]: readonly [number, number, number], f: number, zoom = 1): number[] {
  const [cx, cy] = [(SIZE.width - 1) / 2, (SIZE.height - 1) / 2];
  const about = (a: number, m: (c: number, s: number) => M) => m(Math.cos(a), Math.sin(a));
  const rx = about(x, (c, s) => [1, 0, 0, 0, c, -s, 0, s, c]);
  const ry = about(y, (c, s) => [c, 0, s, 0, 1, 0, -s, 0, c]);
  const rz = about(z, (c, s) => [c, -s, 0, s, c, 0, 0, 0, 1]);
  const k = [f * zoom, 0, cx, 0, f * zoom, cy, 0, 0, 1];
  const back = [1 / f, 0, -cx / f, 0, 1 / f, -cy / f, 0, 0, 1];
  const all = times(times(k, times(rz, times(ry, rx))), back);
  return all.map((v) => v / all[8]!);
}

describe("a map of the picture", () => {
  it("of a camera that only turned is told as such whatever its focal length, to a fraction of a pixel", () => {
    const d = dice(61);
    for (let k = 0; k < 60; k++) {
      const widths = Math.exp(d.even(Math.log(0.5), Math.log(8)));
      // By up to a third of the picture.
      const most = 0.3 / widths;
      const by = [d.even(-most, most) / 2, d.even(-most, most), d.even(-0.05, 0.05)] as const;
      const { turned, zoomed } = onlyTurned(turnedBy(by, widths * SIZE.width), SIZE);
      expect(turned, `f of ${widths.toFixed(2)} widths`).toBeLessThan(0.05);
      expect(zoomed).toBeLessThan(0.05);
    }
  });

  it("of one that zoomed is no turn alone, of one that was carried neither", () => {
    const zoomed = onlyTurned(turnedBy([0.01, 0.05, 0], 1.7 * SIZE.width, 1.05), SIZE);
    expect(zoomed.zoomed).toBeLessThan(0.05);
    expect(zoomed.turned).toBeGreaterThan(5);
    // A plane seen from one side and then the other: one edge nearer, the other farther, which no turn does to so little a shift.
    const carried = onlyTurned([1, 0.02, 10, -0.03, 1.03, 4, 6e-5, -4e-5, 1], SIZE);
    expect(carried.turned).toBeGreaterThan(1);
    expect(carried.zoomed).toBeGreaterThan(1);
  });
});
