import type { EventFrame, Mark, NotSeen, PointName, Side, TrialMarks } from "../../../../src/study/types.ts";
import { pointsOnFrame } from "../guide/framePoints.ts";
import { otherEnd } from "../guide/pieces.ts";
import type { AskedPoint, Depth } from "../guide/sequence.ts";
import { type Found, type FoundEvent, foundPoint } from "./found.ts";

export interface At {
  readonly xPx: number;
  readonly yPx: number;
}

/** What the coach did to the points of one row: where they put them, by `pointKey`; "not seen" said of them. */
export interface RowEdits {
  readonly frame: number;
  readonly put: Readonly<Record<string, At>>;
  readonly notSeen: readonly string[];
}

export const pointKey = ({ point, side }: AskedPoint) => `${point} ${side}`;

/** A point of a row as it stands now. */
export interface RowPoint extends AskedPoint {
  readonly at: At | null;
  /** Where it was suggested on this very frame; null = nowhere. */
  readonly suggested: ReturnType<typeof foundPoint> | null;
  readonly isPut: boolean;
  readonly notSeen: boolean;
}

/** A blade, or both hips: what is dragged as one. */
export type Piece = readonly RowPoint[];

/** The points asked for on the frame picked, piece by piece. `hidden`: suggestions are not shown. */
export function piecesOf(
  given: { readonly marks: TrialMarks; readonly found: Found; readonly depth: Depth; readonly time: number },
  row: Pick<FoundEvent, "event" | "side">,
  edits: RowEdits,
  hidden: boolean,
): Piece[] {
  const { marks, found, depth, time } = given;
  const event: EventFrame = { event: row.event, side: row.side, frame: edits.frame, time };
  const asked = pointsOnFrame({ ...marks, events: [event] }, edits.frame, depth);
  const isMarked = (p: AskedPoint) =>
    marks.marks.some((k) => k.frame === edits.frame && k.point === p.point && k.side === p.side);
  const points = asked
    .filter((p) => !isMarked(p))
    .map((p): RowPoint => {
      const suggested = foundPoint(found, { frame: edits.frame, ...p }) ?? null;
      const put = edits.put[pointKey(p)];
      const at = put ?? (hidden ? null : suggested && { xPx: suggested.xPx, yPx: suggested.yPx });
      return { ...p, at, suggested, isPut: put !== undefined, notSeen: edits.notSeen.includes(pointKey(p)) };
    });
  const seconds = new Set<string>();
  return points.flatMap((p) => {
    if (seconds.has(pointKey(p))) return [];
    const end = otherEnd(p);
    const other = end && points.find((o) => o.point === end.point && o.side === end.side);
    if (!other) return [[p]];
    seconds.add(pointKey(other));
    return [[p, other]];
  });
}

/** The points confirmed on a row's frame, as they stand. */
export function donePieces(
  marks: TrialMarks,
  { event, side, frame, time }: EventFrame,
  depth: Depth,
): Piece[] {
  const on = marks.marks.filter((k) => k.frame === frame);
  const without = { ...marks, marks: marks.marks.filter((k) => k.frame !== frame) };
  const put = Object.fromEntries(on.map((k) => [pointKey(k), { xPx: k.xPx, yPx: k.yPx }]));
  const none: Found = { model: "", events: [], points: [], withheld: [] };
  const given = { marks: without, found: none, depth, time };
  return piecesOf(given, { event, side }, { frame, put, notSeen: [] }, true);
}

export function isAnswered(piece: Piece): boolean {
  return piece.every((p) => p.notSeen || p.at !== null);
}

/** "left blade", "hips" */
export function pieceName(piece: Piece): string {
  const [first] = piece as readonly [RowPoint, ...RowPoint[]];
  if (first.point === "hip") return piece.length > 1 ? "both hips" : `${first.side} hip`;
  return `${first.side} blade`;
}

/** How a piece is put that nothing is suggested of. */
export function pressWords(piece: Piece): string {
  const [first] = piece as readonly [RowPoint, ...RowPoint[]];
  if (piece.length === 1) return `Press on the ${pieceName(piece)}.`;
  return first.point === "hip"
    ? "Press on the left hip, drag to the right hip."
    : `Press on the heel end of the ${first.side} blade, drag to its toe end.`;
}

/** Nearer than this to where it was suggested, px, a point put is the suggestion accepted: less than a hand can tell. */
const SAME_PX = 0.05;

/** What is confirmed of a row: its event, marks and what can't be seen. */
export function confirmed(
  row: FoundEvent,
  pieces: readonly Piece[],
  { frame, time, model, blind }: { frame: number; time: number; model: string; blind: boolean },
): { event: EventFrame; marks: Mark[]; notSeen: NotSeen[] } {
  const hidden = blind ? { blind: true } : {};
  const from = blind ? "hand" : frame === row.frame ? "accepted" : "moved";
  const event: EventFrame = {
    ...{ event: row.event, side: row.side, frame, time, from },
    suggested: { frame: row.frame, sdFrames: row.sdFrames, model, ...hidden },
  };
  const marks = pieces.flat().flatMap((p): Mark[] => {
    if (!p.at || p.notSeen) return [];
    const at = { frame, time, point: p.point, side: p.side, ...p.at };
    const { suggested: s } = p;
    if (!s) return [at];
    const isSame = Math.hypot(p.at.xPx - s.xPx, p.at.yPx - s.yPx) < SAME_PX;
    const { xPx, yPx, uPx, by, templates } = s;
    const suggested = { xPx, yPx, uPx, by, model, templates, ...hidden };
    return [{ ...at, from: blind ? "hand" : isSame ? "accepted" : "moved", suggested }];
  });
  const unseen = pieces.flat().flatMap((p) => (p.notSeen ? [{ frame, point: p.point, side: p.side }] : []));
  return { event, marks, notSeen: unseen };
}

/** How far what was put blind lies from what was suggested: the largest of the row; null where nothing tells. */
export function missWords(marks: readonly Mark[]): string | null {
  const off = marks.flatMap((k) =>
    k.suggested ? [Math.hypot(k.xPx - k.suggested.xPx, k.yPx - k.suggested.yPx)] : [],
  );
  if (off.length === 0) return null;
  return `Blind check: your points lie up to ${Math.max(...off).toFixed(1)} px from what was suggested.`;
}

/** Two places of a blade so near each other in time, seconds, are those of one recovery. */
const ONE_RECOVERY_S = 0.6;

/**
 * Where to look on a frame when nothing is suggested there: between the places of the same blade just before and after,
 * else between, or beyond, the same point of the strides confirmed.
 */
export function likelyPlace(
  marks: TrialMarks,
  row: Pick<FoundEvent, "event" | "side">,
  point: { readonly point: PointName; readonly side: Side },
  frame: number,
): At | null {
  const same = marks.marks
    .filter((k) => k.point === point.point && k.side === point.side)
    .sort((a, b) => a.frame - b.frame);
  const before = same.findLast((k) => k.frame <= frame);
  const after = same.find((k) => k.frame >= frame);
  if (before && after && after.time - before.time < ONE_RECOVERY_S) return between(before, after, frame);
  const events = new Set(
    marks.events.filter((e) => e.event === row.event && e.side === row.side).map((e) => e.frame),
  );
  const [a, b] = same
    .filter((k) => events.has(k.frame))
    .sort((k, l) => Math.abs(k.frame - frame) - Math.abs(l.frame - frame));
  if (!a || !b) return a ?? null;
  return between(a, b, frame);
}

function between(a: Mark, b: Mark, frame: number): At {
  if (a.frame === b.frame) return a;
  const share = (frame - a.frame) / (b.frame - a.frame);
  return { xPx: a.xPx + share * (b.xPx - a.xPx), yPx: a.yPx + share * (b.yPx - a.yPx) };
}
