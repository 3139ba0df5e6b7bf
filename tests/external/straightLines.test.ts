import { expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import type { StraightLine, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { scaleReference } from "../../src/trials/scaleReference.ts";
import { deriveOne, Sources } from "../../src/uncertainty/uncertain.ts";
import { type Board, boards, columns, height, MARK_SD_PX, rows, SQUARE, width } from "../helpers/boards.ts";

/*
 * Real lenses: OpenCV's own calibration pictures (Apache-2.0, copyright Intel Corporation and the OpenCV contributors), 26 photographs of
 * a board by two real cameras whose lenses bend lines (k1 about -0.28). tests/reference/boards.py found the corners. The lens is told by
 * the four outer rows and columns of one photograph, which are straight on the board; eight corners in the middle of another photograph
 * by the same camera are its ice points. The board itself says how far its outer corners lie apart.
 */

const at = ({ corners }: Board, row: number, column: number) => {
  const k = row * columns + column;
  return { xPx: corners[2 * k]!, yPx: corners[2 * k + 1]! };
};
const upTo = (n: number) => Array.from({ length: n }, (_, k) => k);

function outline(board: Board): StraightLine[] {
  return [
    ...[0, rows - 1].map((r) => ({ points: upTo(columns).map((c) => at(board, r, c)) })),
    ...[0, columns - 1].map((c) => ({ points: upTo(rows).map((r) => at(board, r, c)) })),
  ];
}

function marksOf(trial: string, board: Board, more: Partial<TrialMarks>): TrialMarks {
  const picture = { width, height, clip: board.name, frameInterval: 0.02 };
  return {
    format: "blademark.marks",
    version: 1,
    trial,
    picture,
    iceReference: null,
    events: [],
    marks: [],
    ...more,
  };
}

/** One photograph with lines alone, one with ice points in its middle, by one camera. */
function study(lined: Board, measured: Board, isTold: boolean): WholeStudy {
  const points = [1, rows - 2].flatMap((r) =>
    [2, 3, 5, 6].map((c) => ({ label: `${r} ${c}`, x: SQUARE * c, y: SQUARE * r, ...at(measured, r, c) })),
  );
  return {
    study: {
      ...newStudy(),
      markSdPx: MARK_SD_PX,
      setups: [{ id: "s", name: "one camera", trials: [{ trial: "lines" }, { trial: "ice" }] }],
    },
    marks: {
      lines: marksOf("lines", lined, isTold ? { straightLines: outline(lined) } : {}),
      ice: marksOf("ice", measured, { iceReference: { kind: "ice-points", points } }),
    },
  } as WholeStudy;
}

function acrossTheBoard(lined: Board, measured: Board, isTold: boolean) {
  const reference = scaleReference(study(lined, measured, isTold), "ice")!;
  const scale = fitScale(reference, { width, height }, MARK_SD_PX);
  const sources = new Sources();
  const ground = scale.ground(sources);
  const mark = (row: number, column: number) => {
    const { xPx, yPx } = at(measured, row, column);
    return ground.place({ u: sources.add(xPx, MARK_SD_PX), v: sources.add(yPx, MARK_SD_PX) }, 0)!;
  };
  const lens = scale.summary.lens!;
  return {
    lens,
    distances: (
      [
        [0, 0, 0, columns - 1],
        [rows - 1, 0, rows - 1, columns - 1],
        [0, 0, rows - 1, 0],
        [0, columns - 1, rows - 1, columns - 1],
      ] as const
    ).map(([r, c, r2, c2]) => {
      const [a, b] = [mark(r, c), mark(r2, c2)];
      const parts = [a.x, a.y, b.x, b.y];
      const distance = deriveOne((ax, ay, bx, by) => Math.hypot(bx! - ax!, by! - ay!), parts);
      return { off: distance.value - SQUARE * Math.hypot(r2 - r, c2 - c), u95: distance.u95 };
    }),
  };
}

it("the board's own lines tell the lens, and with it distances out at the picture's edge", () => {
  const pairs = (["left", "right"] as const).flatMap((side) => {
    const own = boards.filter(({ name }) => name.startsWith(side));
    return own.map((board, k) => [own[(k + 5) % own.length]!, board] as const);
  });
  const tally = (isTold: boolean) => {
    const all = pairs.map(([lined, board]) => acrossTheBoard(lined, board, isTold));
    const distances = all.flatMap((a) => a.distances);
    const rms = Math.sqrt(distances.reduce((sum, { off }) => sum + off ** 2, 0) / distances.length);
    const u95s = distances.map((x) => x.u95).sort((a, b) => a - b);
    return {
      byLines: all.filter(({ lens }) => "from" in lens && lens.from === "straight lines").length,
      held: distances.filter(({ off, u95 }) => Math.abs(off) < u95).length / distances.length,
      rms,
      u95: u95s[u95s.length >> 1]!,
    };
  };
  const [without, told] = [tally(false), tally(true)];
  expect(told.byLines).toBeGreaterThan(20);
  expect(told.held).toBeGreaterThan(0.93);
  expect(told.rms).toBeLessThan(0.75 * without.rms);
  expect(told.u95).toBeLessThan(without.u95);
});
