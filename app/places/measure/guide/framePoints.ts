import { ENOUGH_HIP_FRAMES } from "../../../../src/marks/hipScatter.ts";
import type { Side, TrialMarks } from "../../../../src/study/types.ts";
import { FIRST_PASS, markInPass, ofPass } from "../core/pass.ts";
import { type AskedPoint, type Depth, pointsFor } from "./sequence.ts";

export type PointState = "marked" | "not-seen" | "open";

export function pointState(marks: TrialMarks, frame: number, p: AskedPoint): PointState {
  if (markInPass(marks.marks, { frame, ...p }, FIRST_PASS)) return "marked";
  const notSeen = marks.notSeen?.some((n) => n.frame === frame && n.point === p.point && n.side === p.side);
  return notSeen ? "not-seen" : "open";
}

const open = new WeakMap<TrialMarks, Map<string, boolean>>();

/** Whether a frame has points that are asked for. Remembered: every frame stepped to asks it of all others. */
export function hasOpenPoints(marks: TrialMarks, depth: Depth, frame: number): boolean {
  const known = open.get(marks) ?? new Map<string, boolean>();
  open.set(marks, known);
  const key = `${depth} ${frame}`;
  const has =
    known.get(key) ?? pointsOnFrame(marks, frame, depth).some((p) => pointState(marks, frame, p) === "open");
  known.set(key, has);
  return has;
}

/** Frames fewer apart than this share their hips: what they sway meanwhile is part of the ±. */
const HIPS_ANEW = 4;
/** But not over a longer time than this, clip seconds: at 30 frames a second they would sway too far. */
const HIPS_HOLD_S = 0.055;

/**
 * Points asked for on a frame, over all events on it, each once; no hips where a frame close by has them and the trial has
 * enough of them to tell how well they are marked, which is worth more than any single one.
 */
export function pointsOnFrame(marks: TrialMarks, frame: number, depth: Depth): readonly AskedPoint[] {
  const wanted: AskedPoint[] = [];
  for (const event of marks.events.filter((e) => e.frame === frame)) {
    for (const p of pointsFor(event, depth)) {
      if (!wanted.some((w) => w.point === p.point && w.side === p.side)) wanted.push(p);
    }
  }
  return hipsCloseBy(marks, frame) ? wanted.filter((p) => p.point !== "hip") : wanted;
}

/** Whether another frame close by has both hips, and this one none. */
function hipsCloseBy({ marks, picture }: TrialMarks, frame: number): boolean {
  const within = Math.min(HIPS_ANEW - 1, Math.floor(HIPS_HOLD_S / (picture?.frameInterval ?? 1)));
  const has = (at: number, side: Side) =>
    markInPass(marks, { frame: at, point: "hip", side }, FIRST_PASS) !== undefined;
  if (has(frame, "left") || has(frame, "right")) return false;
  const frames = new Set(marks.filter((m) => m.point === "hip" && ofPass(m, FIRST_PASS)).map((m) => m.frame));
  if (frames.size < ENOUGH_HIP_FRAMES) return false;
  for (let away = 1; away <= within; away++) {
    for (const at of [frame - away, frame + away]) if (has(at, "left") && has(at, "right")) return true;
  }
  return false;
}
