import type { Mark, PointName, Side } from "../study/types.ts";

/** Where a point was marked: the mean of its repeat marks, each weighing the same. */
export interface MarkedPoint {
  readonly xPx: number;
  readonly yPx: number;
  /** Standard uncertainty per coordinate, px. */
  readonly uPx: number;
}

/** Marks by frame, side and point. */
export class MarkTable {
  private readonly groups = new Map<string, Mark[]>();
  private readonly markSdPx: number;

  constructor(marks: readonly Mark[], markSdPx: number) {
    this.markSdPx = markSdPx;
    for (const mark of marks) {
      const key = keyOf(mark.frame, mark.side, mark.point);
      const group = this.groups.get(key);
      if (group) group.push(mark);
      else this.groups.set(key, [mark]);
    }
  }

  get(frame: number, side: Side, point: PointName): MarkedPoint | null {
    const group = this.groups.get(keyOf(frame, side, point));
    if (!group) return null;
    const n = group.length;
    const sum = (pick: (mark: Mark) => number) => group.reduce((total, mark) => total + pick(mark), 0);
    return {
      xPx: sum((mark) => mark.xPx) / n,
      yPx: sum((mark) => mark.yPx) / n,
      uPx: Math.sqrt(sum((mark) => (mark.uPx ?? this.markSdPx) ** 2)) / n,
    };
  }
}

function keyOf(frame: number, side: Side, point: PointName): string {
  return `${frame}|${side}|${point}`;
}
