import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { derive, Sources } from "../../src/uncertainty/uncertain.ts";
import { smallestSd } from "../validate/bound.ts";
import { type Filmer, filmer, see, type Vec } from "../validate/lens.ts";
import { type Dice, dice } from "../validate/random.ts";

/*
 * Widths by three runners, against the Cramér-Rao bound of a camera whose lens and principal point are known
 * (tests/validate/bound.ts: a pinhole of its own, Kay 1993), and how often their intervals hold the truth.
 */

const MIDDLE = 18;
const PICTURE = { width: 1920, height: 1080 };
/** Along the lane, across it. */
type Spot = readonly [x: number, y: number];

const EDGES: readonly Spot[] = [13, 16, 19.5, 23].flatMap((x) => [1.5, -1.5].map((y): Spot => [x, y]));
/** Six points in a patch of 4 m by 1.5 m, as far as two people get with a tape. */
const PATCH: readonly Spot[] = [16, 18, 20].flatMap((x) => [1, -0.5].map((y): Spot => [x, y]));

const VIEWS = {
  "from the finish": { at: [MIDDLE + 10, 0.3, 3], hfovDeg: 65, spots: EDGES },
  "from afar": { at: [MIDDLE + 20, 0.3, 3], hfovDeg: 40, spots: EDGES },
  "from the finish, low": { at: [MIDDLE + 10, 0.3, 1.5], hfovDeg: 65, spots: EDGES },
  "from the finish, points in a patch": { at: [MIDDLE + 10, 0.3, 1.5], hfovDeg: 65, spots: PATCH },
  askew: { at: [MIDDLE + 7, 7, 3], hfovDeg: 65, spots: EDGES },
  "from the bench": { at: [MIDDLE + 1, -9, 3], hfovDeg: 65, spots: EDGES },
} as const satisfies Record<string, { at: Vec; hfovDeg: number; spots: readonly Spot[] }>;
type View = keyof typeof VIEWS;

const RUNNERS: readonly Spot[] = [
  [15.2, 0.55],
  [17.8, -0.6],
  [20.4, 0.5],
];
const ENDS = RUNNERS.flatMap(([x, y]): Vec[] => [
  [x - 0.2, y, 0],
  [x + 0.2, y, 0],
]);

/** Distance of the second runner's middle from the line through those of the others. */
function widthOf(ends: readonly number[]): number {
  const [a, p, b] = [0, 4, 8].map((k) => [
    (ends[k]! + ends[k + 2]!) / 2,
    (ends[k + 1]! + ends[k + 3]!) / 2,
  ]) as [number[], number[], number[]];
  const [lx, ly] = [b[0]! - a[0]!, b[1]! - a[1]!];
  return (ly * (p[0]! - a[0]!) - lx * (p[1]! - a[1]!)) / Math.hypot(lx, ly);
}
const onIce = (ends: readonly Vec[]) => ends.flatMap((p) => [p[0], p[1]]);
const TRUE_WIDTH = widthOf(onIce(ENDS));

function cameraOf(view: View): Filmer {
  const { at, hfovDeg } = VIEWS[view];
  return filmer(at, [MIDDLE, 0, 0.5], hfovDeg);
}

/** The measured width of one marking, 1 px a mark, the picture's middle `off` px beside the principal point. */
function measured(view: View, camera: Filmer, d: Dice, off: Spot) {
  const mark = (p: Vec) => {
    const [x, y] = see(camera, p)!;
    return { xPx: x + off[0] + d.normal(1), yPx: y + off[1] + d.normal(1) };
  };
  const points = VIEWS[view].spots.map(
    ([x, y], k): IcePoint => ({ label: `P${k}`, x, y, ...mark([x, y, 0]) }),
  );
  const sources = new Sources();
  const ground = fitScale({ kind: "ice-points", points }, PICTURE, 1).ground(sources);
  const places = ENDS.flatMap((end) => {
    const { xPx, yPx } = mark(end);
    const place = ground.place({ u: sources.add(xPx, 1), v: sources.add(yPx, 1) }, 0)!;
    return [place.x, place.y];
  });
  const [width] = derive((...ends) => [widthOf(ends)], places);
  return { error: width!.value - TRUE_WIDTH, u95: width!.u95 };
}

describe.each(Object.keys(VIEWS) as View[])("widths through the camera, %s", (view) => {
  const camera = cameraOf(view);
  const DRAWS = 120;

  it("scatter no more than the bound says they must", () => {
    const icePoints = VIEWS[view].spots.map(([x, y], k) => {
      return { label: `P${k}`, at: [x, y, 0] as Vec, taped: [x, y, 0] as Vec };
    });
    const bound = smallestSd(
      { views: [{ camera, icePoints }], zooms: false, tapeError: 0 },
      ENDS.map((at) => ({ at, view: 0 })),
      1,
      (ends) => widthOf(onIce(ends)),
    );
    const d = dice(3);
    const errors = Array.from({ length: DRAWS }, () => measured(view, camera, d, [0, 0]).error);
    const ratio = Math.sqrt(errors.reduce((sum, e) => sum + (e / bound) ** 2, 0) / DRAWS);
    // 1.05 is asked; the root of a mean of so many squares has an SD of 1 / sqrt(2 n).
    expect(ratio).toBeLessThan(1.05 + 2 / Math.sqrt(2 * DRAWS));
  });

  it("are within their intervals where the principal point lies 3 % of the picture's width off, any way", () => {
    const d = dice(4);
    let held = 0;
    for (let k = 0; k < DRAWS; k++) {
      const around = (2 * Math.PI * k) / DRAWS;
      const off: Spot = [0.03 * PICTURE.width * Math.cos(around), 0.03 * PICTURE.width * Math.sin(around)];
      const { error, u95 } = measured(view, camera, d, off);
      if (Math.abs(error) <= u95) held++;
    }
    // 93 % asked; three binomial standard deviations below the 95 % that are stated.
    expect(held / DRAWS).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.05 * 0.95) / DRAWS));
  });
});
