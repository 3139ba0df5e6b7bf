import type { PointName } from "../../../../src/study/types.ts";
import type { AskedPoint } from "./sequence.ts";

/**
 * Two points that one drag puts: pressed at the first, let go at the second. A blade from heel to toe, the hips from left
 * to right, an upper arm from shoulder to elbow.
 */
const SECOND: Partial<Record<PointName, PointName>> = { blade_heel: "blade_toe", shoulder: "elbow" };

/** The other end of the piece that begins with a point; null where none does. */
export function otherEnd({ point, side }: AskedPoint): AskedPoint | null {
  if (point === "hip") return side === "left" ? { point, side: "right" } : null;
  const second = SECOND[point];
  return second ? { point: second, side } : null;
}

/** The piece a point belongs to, its first end first; null for a point by itself. */
export function pieceOf(p: AskedPoint): readonly [AskedPoint, AskedPoint] | null {
  const end = otherEnd(p);
  if (end) return [p, end];
  if (p.point === "hip") return [{ point: "hip", side: "left" }, p];
  const first = (Object.keys(SECOND) as PointName[]).find((name) => SECOND[name] === p.point);
  return first ? [{ point: first, side: p.side }, p] : null;
}
