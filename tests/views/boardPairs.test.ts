import { expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { deriveOne, Sources, type Uncertain, weightedSum } from "../../src/uncertainty/uncertain.ts";
import { Conditioning } from "../../src/views/joint/conditioning.ts";
import { boards, columns, height, MARK_SD_PX, rows, SQUARE, width } from "../helpers/boards.ts";
import { dice } from "../validate/random.ts";

/*
 * Thirteen pairs of photographs of one board by two real cameras at once: OpenCV's own stereo pictures, left01 to left14 with
 * right01 to right14 (Apache-2.0, copyright Intel Corporation and the OpenCV contributors). tests/reference/boards.py found the
 * corners by cv2.findChessboardCorners and cv2.cornerSubPix. Squares are called 0.3 m, so the board is a sheet of ice of 2.4 m by
 * 1.5 m; ten corners, others in each view, are its ice points. The board itself says how far two other corners lie apart.
 */
const COUNT = columns * rows;

const placeOf = (k: number) => ({ x: SQUARE * (k % columns), y: SQUARE * Math.floor(k / columns) });

const pairs = boards.flatMap((left) => {
  const right = boards.find(({ name }) => name === left.name.replace("left", "right"));
  return left.name.startsWith("left") && right ? [[left, right] as const] : [];
});

/** Distance of two corners by one view and by both. */
function distances(pair: (typeof pairs)[number], seed: number) {
  const d = dice(20260117, seed);
  const shuffled = Array.from({ length: COUNT }, (_, k) => ({ k, at: d.even(0, 1) }))
    .sort((a, b) => a.at - b.at)
    .map(({ k }) => k);
  const ends = shuffled.slice(0, 2);
  const sources = new Sources();
  const views = pair.map(({ corners }, v) => {
    const points = shuffled.slice(2 + 10 * v, 12 + 10 * v).map((k) => ({
      ...{ label: `P${k}`, ...placeOf(k) },
      ...{ xPx: corners[2 * k]!, yPx: corners[2 * k + 1]! },
    }));
    const ground = fitScale({ kind: "ice-points", points }, { width, height }, MARK_SD_PX).ground(sources);
    return ends.map((k) => {
      const mark = (at: number) => sources.add(corners[2 * k + at]!, MARK_SD_PX);
      return ground.place({ u: mark(0), v: mark(1) }, 0)!;
    });
  });
  const known = new Conditioning(
    ends.flatMap((_, e) =>
      (["x", "y"] as const).map((axis) =>
        weightedSum([
          [1, views[0]![e]![axis]],
          [-1, views[1]![e]![axis]],
        ]),
      ),
    ),
  );
  const apart = (at: readonly { readonly x: Uncertain; readonly y: Uncertain }[]) =>
    deriveOne(
      (...[ax, ay, bx, by]) => Math.hypot(bx! - ax!, by! - ay!),
      at.flatMap(({ x, y }) => [x, y]),
    );
  const [a, b] = ends.map(placeOf) as [ReturnType<typeof placeOf>, ReturnType<typeof placeOf>];
  return {
    truth: Math.hypot(b.x - a.x, b.y - a.y),
    both: apart(views[0]!.map(({ x, y }) => ({ x: known.applied(x), y: known.applied(y) }))),
    alone: views.map(apart),
  };
}

it("has thirteen pairs", () => {
  expect(pairs).toHaveLength(13);
});

it("gives distances on the board by both views within their u95 in 95 of 100, surer than either view", () => {
  const all = pairs.flatMap((pair, p) => Array.from({ length: 12 }, (_, k) => distances(pair, 12 * p + k)));
  expect(all).toHaveLength(156);
  const held = all.filter(({ both, truth }) => Math.abs(both.value - truth) <= both.u95).length;
  expect(held / all.length).toBeGreaterThanOrEqual(0.95);
  // Wide intervals would hold everything: these are under a centimetre on a board of 2.8 m.
  const mean = all.reduce((sum, { both }) => sum + both.u95, 0) / all.length;
  expect(mean).toBeLessThan(0.01);
  expect(all.filter(({ both, alone }) => both.u > Math.min(...alone.map(({ u }) => u)) * 1.02)).toEqual([]);
});
