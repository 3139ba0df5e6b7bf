import type { Mark, PointName, Side } from "../../../src/study/types.ts";

/** What is dragged as one: a blade, both hips; without what is marked on that frame already. */
export function piecesOf(points: readonly [PointName, Side][], marks: readonly Mark[], frame: number) {
  const open = points.filter(
    ([p, s]) => !marks.some((m) => m.frame === frame && m.point === p && m.side === s),
  );
  const hips = open.filter(([p]) => p === "hip");
  const blades = open.filter(([p]) => p !== "hip");
  return [blades, hips].filter((piece) => piece.length > 0);
}

/** The first mark of each point of a frame. */
export function uniqueMarks(marks: readonly Mark[]): Mark[] {
  const known = new Set<string>();
  return marks.filter((m) => {
    const key = `${m.frame} ${m.point} ${m.side}`;
    return !known.has(key) && known.add(key);
  });
}
