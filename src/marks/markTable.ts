import type { Mark, PointName, Side } from "../study/types.ts";
import { combineRepeats } from "./combineRepeats.ts";
import { areCopies, repeatedPoints } from "./markingSd.ts";
import { kindOf, type MarkSds } from "./markSds.ts";

/** Where a point was marked, from all its repeat marks. */
export interface MarkedPoint {
  readonly xPx: number;
  readonly yPx: number;
  /** Standard uncertainty per coordinate, px. */
  readonly uPx: number;
}

/** Marks by frame, side and point. */
export class MarkTable {
  private readonly groups = new Map<number, Mark[]>();
  private readonly sds: MarkSds;

  /** Repeats that are copies of one another count once. */
  constructor(marks: readonly Mark[], sds: MarkSds) {
    this.sds = sds;
    const copies = areCopies(repeatedPoints(marks));
    for (const mark of marks) {
      const key = markNumber(mark.frame, mark.side, mark.point);
      const group = this.groups.get(key);
      if (!group) this.groups.set(key, [mark]);
      else if (!copies || !group.some((m) => m.xPx === mark.xPx && m.yPx === mark.yPx)) group.push(mark);
    }
  }

  has(frame: number, side: Side, point: PointName): boolean {
    return this.groups.has(markNumber(frame, side, point));
  }

  /** Whether both ends of a blade are marked; see `bladeNumber`. */
  hasBlade(n: number): boolean {
    return (
      this.groups.has(8 * n + POINT_NUMBERS.blade_heel) && this.groups.has(8 * n + POINT_NUMBERS.blade_toe)
    );
  }

  get(frame: number, side: Side, point: PointName): MarkedPoint | null {
    return this.at(markNumber(frame, side, point));
  }

  /** See `markNumber`. */
  at(n: number): MarkedPoint | null {
    const group = this.groups.get(n);
    if (!group) return null;
    const [only] = group;
    const sdPx = this.sds[kindOf(only!.point)].sdPx;
    if (group.length === 1 && only) return { xPx: only.xPx, yPx: only.yPx, uPx: only.uPx ?? sdPx };
    const combined = (pick: (mark: Mark) => number) =>
      combineRepeats(group.map((mark) => ({ px: pick(mark), u: mark.uPx ?? sdPx })));
    const x = combined((mark) => mark.xPx);
    return { xPx: x.px, yPx: combined((mark) => mark.yPx).px, uPx: x.u };
  }
}

/** Tells blades of a trial's frames apart. */
export function bladeNumber(frame: number, side: Side): number {
  return 2 * frame + (side === "left" ? 0 : 1);
}

const POINT_NUMBERS: Readonly<Record<PointName, number>> = {
  blade_heel: 0,
  blade_toe: 1,
  hip: 2,
  shoulder: 3,
  elbow: 4,
  wrist: 5,
};

/** Tells points of a trial's frames apart. */
export function markNumber(frame: number, side: Side, point: PointName): number {
  return 8 * bladeNumber(frame, side) + POINT_NUMBERS[point];
}
