import type { Mark, PointName, Side } from "../study/types.ts";
import { combineRepeats } from "./combineRepeats.ts";
import { areCopies, repeatedPoints } from "./markingSd.ts";

/** Where a point was marked, from all its repeat marks. */
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

  /** Repeats that are copies of one another count once. */
  constructor(marks: readonly Mark[], markSdPx: number) {
    this.markSdPx = markSdPx;
    const copies = areCopies(repeatedPoints(marks));
    for (const mark of marks) {
      const key = keyOf(mark.frame, mark.side, mark.point);
      const group = this.groups.get(key);
      if (!group) this.groups.set(key, [mark]);
      else if (!copies || !group.some((m) => m.xPx === mark.xPx && m.yPx === mark.yPx)) group.push(mark);
    }
  }

  has(frame: number, side: Side, point: PointName): boolean {
    return this.groups.has(keyOf(frame, side, point));
  }

  get(frame: number, side: Side, point: PointName): MarkedPoint | null {
    const group = this.groups.get(keyOf(frame, side, point));
    if (!group) return null;
    const [only] = group;
    if (group.length === 1 && only) return { xPx: only.xPx, yPx: only.yPx, uPx: only.uPx ?? this.markSdPx };
    const combined = (pick: (mark: Mark) => number) =>
      combineRepeats(group.map((mark) => ({ px: pick(mark), u: mark.uPx ?? this.markSdPx })));
    const x = combined((mark) => mark.xPx);
    return { xPx: x.px, yPx: combined((mark) => mark.yPx).px, uPx: x.u };
  }
}

function keyOf(frame: number, side: Side, point: PointName): string {
  return `${frame}|${side}|${point}`;
}
