import type { Mark, PointName, Side } from "../study/types.ts";
import { type AcceptedSds, acceptedSds } from "./acceptedSds.ts";
import { combineRepeats } from "./combineRepeats.ts";
import { areCopies, repeatedPoints } from "./markingSd.ts";
import { kindOf, type MarkSds } from "./markSds.ts";

/** Where a point was marked, from all its repeat marks. */
export interface MarkedPoint {
  readonly xPx: number;
  readonly yPx: number;
  /** Standard uncertainty per coordinate, px. */
  readonly uPx: number;
  /** Of a suggestion accepted: what its error is made of. */
  readonly learned?: Learned;
}

/**
 * The error of a suggestion accepted: its own, and what it has from the marks it was learned from. Of each of those, by
 * number and weight, it has the hand's error, and how that frame was seen, which errs as much as this one's own.
 */
export interface Learned {
  readonly ownPx: number;
  /** SD of the hand's error where the mark it was learned from is no longer there. */
  readonly handPx: number;
  readonly from: readonly (readonly [n: number, weight: number])[];
}

/** At least this share of an accepted suggestion's SD is its own. [judgement] */
const LEAST_OWN = 0.3;
/** No suggestion is reckoned better than this share of a hand's SD. [judgement] */
const LEAST_OF_HAND = 0.5;

/** Marks by frame, side and point. */
export class MarkTable {
  private readonly groups = new Map<number, Mark[]>();
  private readonly sds: MarkSds;
  private readonly accepted: AcceptedSds;

  /** Repeats that are copies of one another count once. */
  constructor(marks: readonly Mark[], sds: MarkSds) {
    this.sds = sds;
    this.accepted = acceptedSds(marks, sds);
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
    const u = (mark: Mark) => mark.uPx ?? this.acceptedU(mark) ?? sdPx;
    if (group.length === 1 && only) {
      const at = { xPx: only.xPx, yPx: only.yPx, uPx: u(only) };
      return isLearned(only) ? { ...at, learned: this.learned(n, at.uPx, sdPx) } : at;
    }
    const combined = (pick: (mark: Mark) => number) =>
      combineRepeats(group.map((mark) => ({ px: pick(mark), u: u(mark) })));
    const x = combined((mark) => mark.xPx);
    return { xPx: x.px, yPx: combined((mark) => mark.yPx).px, uPx: x.u };
  }

  /** SD of a suggestion accepted: as blind checks tell, else as was stated with it; null for any other mark. */
  private acceptedU({ from, suggested, point }: Mark): number | null {
    if (from !== "accepted" || !suggested) return null;
    const kind = kindOf(point);
    return Math.max(LEAST_OF_HAND * this.sds[kind].sdPx, this.accepted[kind] ?? suggested.uPx);
  }

  private learned(n: number, uPx: number, handPx: number): Learned {
    const from = [...this.rootsOf(n, new Set())].sort(([a], [b]) => a - b);
    const squares = from.reduce((sum, [, weight]) => sum + weight ** 2, 0);
    // Total variance = own (1 + sum of squared weights) + hand's (sum of squared weights).
    const own = Math.sqrt(Math.max(0, (uPx ** 2 - squares * handPx ** 2) / (1 + squares)));
    return { ownPx: Math.max(LEAST_OWN * uPx, own), handPx, from };
  }

  /** The marks by a hand that a suggestion goes back to, through others accepted before, with their weights. */
  private rootsOf(n: number, through: Set<number>): Map<number, number> {
    const roots = new Map<number, number>();
    const group = this.groups.get(n);
    const [only] = group ?? [];
    if (!only || group?.length !== 1 || !isLearned(only) || through.has(n)) return roots.set(n, 1);
    const { templates = [] } = only.suggested ?? {};
    const within = new Set([...through, n]);
    const all = templates.map((frame) => this.rootsOf(markNumber(frame, only.side, only.point), within));
    for (const of of all)
      for (const [root, weight] of of) roots.set(root, (roots.get(root) ?? 0) + weight / all.length);
    roots.delete(n);
    return roots;
  }
}

function isLearned({ from, suggested }: Mark): boolean {
  return from === "accepted" && suggested !== undefined;
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
