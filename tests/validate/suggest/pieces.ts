import type { Mark, PointName, Side } from "../../../src/study/types.ts";

/** The whole piece by its first end; then the other end alone, where that still seems wrong. */
export function dragsToMove(
  points: readonly { readonly mark: Mark; readonly s: { xPx: number; yPx: number } | undefined }[],
  looksWrong: number,
): number {
  const [first, second] = points;
  if (!first?.s || !second?.s) return 1;
  const x = second.s.xPx + first.mark.xPx - first.s.xPx - second.mark.xPx;
  const y = second.s.yPx + first.mark.yPx - first.s.yPx - second.mark.yPx;
  return Math.hypot(x, y) > looksWrong ? 2 : 1;
}

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
