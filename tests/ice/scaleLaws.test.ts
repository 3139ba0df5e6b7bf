import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { Sources } from "../../src/uncertainty/uncertain.ts";
import { PLACEMENTS, type Placement } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";

// Laws: what a change of description must leave alone, and how the rest changes with it.
const SIZE = { width: 1920, height: 1080 };
const MARK = { xPx: 1010, yPx: 590 };

function points(place: Placement, bend = 0): IcePoint[] {
  const random = seeded(4);
  const { see, focalPx } = PLACEMENTS[place];
  return [12.6, 16.2, 19.8, 23.4].flatMap((x) =>
    [1.5, 0.2, -1.5].map((y): IcePoint => {
      const seen = see(x, y, 0);
      const [dx, dy] = [seen.xPx - 959.5, seen.yPx - 539.5];
      const stretch = 1 + (bend * (dx * dx + dy * dy)) / focalPx ** 2;
      return {
        ...{ label: `${x}, ${y}`, x, y, u: 0.01 },
        xPx: 959.5 + dx * stretch + normal(random),
        yPx: 539.5 + dy * stretch + normal(random),
      };
    }),
  );
}

/** What a reference says of one mark, of the camera and of itself. */
function answer(list: readonly IcePoint[], size = SIZE, mark = MARK, markSd = 1) {
  const scale = fitScale({ kind: "ice-points", points: list }, size, markSd);
  const sources = new Sources();
  const place = scale
    .ground(sources)
    .place({ u: sources.add(mark.xPx, markSd), v: sources.add(mark.yPx, markSd) }, 0)!;
  const { camera, rmsPx, warnings, lens } = scale.summary;
  return { ...{ camera: camera!, rmsPx: rmsPx!, lens, codes: warnings.map((w) => w.code) }, place };
}

describe.each([
  ["facing", 0],
  ["diagonal", 0],
  ["side", 0],
  ["diagonal", -0.2],
] as const)("a scale from ice points, %s, k1 %s", (place, bend) => {
  const base = answer(points(place, bend));
  const spread = Math.hypot(base.place.x.u, base.place.y.u);

  it("does not depend on the order of the points", () => {
    const list = points(place, bend);
    const mixed = answer([...list.slice(5), ...list.slice(0, 5).reverse()]);
    expect(mixed.place.x.value).toBeCloseTo(base.place.x.value, 7);
    expect(mixed.place.y.u).toBeCloseTo(base.place.y.u, 7);
    expect(mixed.rmsPx).toBeCloseTo(base.rmsPx, 7);
    expect(mixed.codes).toEqual(base.codes);
  });

  it("turns and moves with the ice frame", () => {
    const [c, s] = [Math.cos(2.1), Math.sin(2.1)];
    const turn = (x: number, y: number) => [c * x - s * y - 40, s * x + c * y + 7] as const;
    const turned = answer(
      points(place, bend).map((p) => {
        const [x, y] = turn(p.x, p.y);
        return { ...p, x, y };
      }),
    );
    const [x, y] = turn(base.place.x.value, base.place.y.value);
    expect(turned.place.x.value).toBeCloseTo(x, 6);
    expect(turned.place.y.value).toBeCloseTo(y, 6);
    expect(Math.hypot(turned.place.x.u, turned.place.y.u)).toBeCloseTo(spread, 6);
    expect(turned.camera.height).toBeCloseTo(base.camera.height, 5);
    expect(turned.camera.u95FocalPx / base.camera.u95FocalPx).toBeCloseTo(1, 4);
    expect(turned.rmsPx).toBeCloseTo(base.rmsPx, 6);
  });

  it("mirrors with the picture", () => {
    const list = points(place, bend).map((p) => ({ ...p, xPx: 1919 - p.xPx, y: -p.y }));
    const mirrored = answer(list, SIZE, { ...MARK, xPx: 1919 - MARK.xPx });
    expect(mirrored.place.x.value).toBeCloseTo(base.place.x.value, 6);
    expect(mirrored.place.y.value).toBeCloseTo(-base.place.y.value, 6);
    expect(mirrored.place.y.u).toBeCloseTo(base.place.y.u, 6);
    expect(mirrored.camera.y).toBeCloseTo(-base.camera.y, 4);
  });

  it("measures in the unit of the places: in feet everything is 1 / 0.3048 times as much", () => {
    const feet = 1 / 0.3048; // exact, international foot of 1959
    const list = points(place, bend).map((p) => ({ ...p, x: p.x * feet, y: p.y * feet, u: p.u! * feet }));
    const inFeet = answer(list);
    expect(inFeet.place.x.value).toBeCloseTo(base.place.x.value * feet, 6);
    expect(inFeet.place.y.u).toBeCloseTo(base.place.y.u * feet, 6);
    expect(inFeet.camera.height).toBeCloseTo(base.camera.height * feet, 4);
    expect(inFeet.camera.focalPx).toBeCloseTo(base.camera.focalPx, 2);
  });

  it("does not depend on the picture's resolution when marks are as good on the ice", () => {
    // A pixel of the half-size picture covers 2 x 2; its centre (i, j) is (2i + 0.5, 2j + 0.5) of the large one.
    const double = (px: number) => 2 * px + 0.5;
    const list = points(place, bend).map((p) => ({ ...p, xPx: double(p.xPx), yPx: double(p.yPx) }));
    const large = answer(
      list,
      { width: 3840, height: 2160 },
      { xPx: double(MARK.xPx), yPx: double(MARK.yPx) },
      2,
    );
    expect(large.place.x.value).toBeCloseTo(base.place.x.value, 6);
    expect(large.place.y.u).toBeCloseTo(base.place.y.u, 6);
    expect(large.camera.focalPx).toBeCloseTo(2 * base.camera.focalPx, 2);
    expect(large.rmsPx).toBeCloseTo(2 * base.rmsPx, 6);
    for (const { lens } of [base, large]) expect(lens && "from" in lens).toBe(bend !== 0);
    if (base.lens && "from" in base.lens && large.lens && "from" in large.lens) {
      expect(large.lens.k1).toBeCloseTo(base.lens.k1, 5);
    }
  });
});
