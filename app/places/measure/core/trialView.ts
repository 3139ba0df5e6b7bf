import type { Mark, Side, TrialMarks, WholeStudy } from "../../../../src/study/types.ts";
import { emptyMarks } from "../../../../src/trials/trialInput.ts";
import { icePointsOn } from "../../../commands/ice/icePoints.ts";
import { pointWords } from "../../../commands/words.ts";
import type { DrawnMark } from "../../../picture/drawnMark.ts";
import { pieceOf } from "../guide/pieces.ts";
import { ofPass, type Pass } from "./pass.ts";

const NONE = new Map<string, TrialMarks>();

/** The trial's marks; the same empty object for a trial without any, so that nothing redraws for nothing. */
export function trialMarks(whole: WholeStudy, trial: string): TrialMarks {
  const marks = whole.marks[trial];
  if (marks) return marks;
  const known = NONE.get(trial);
  if (known) return known;
  const empty = emptyMarks(trial);
  NONE.set(trial, empty);
  return empty;
}

export function markId(m: {
  frame: number;
  point: string;
  side: string;
  observer?: string;
  pass?: number;
}): string {
  return [m.frame, m.point, m.side, m.observer ?? "", m.pass ?? ""].join(" ");
}

/** The marks of one pass on one frame as the picture draws them. */
export function drawnOnFrame(marks: TrialMarks, frame: number, pass: Pass): DrawnMark[] {
  const here = marks.marks.filter((m) => m.frame === frame && ofPass(m, pass));
  return here.map((m) => {
    const ends = m.point.startsWith("blade") || m.point === "hip" ? pieceOf(m) : null;
    const end = ends?.find((p) => p.point !== m.point || p.side !== m.side);
    const other = end && here.find((o) => o.point === end.point && o.side === end.side && isSamePass(o, m));
    return {
      id: markId(m),
      xPx: m.xPx,
      yPx: m.yPx,
      side: m.side,
      label: pointWords(m.point, m.side),
      ...(other ? { otherEnd: markId(other) } : {}),
    };
  });
}

const isSamePass = (a: Mark, b: Mark) => a.pass === b.pass && a.observer === b.observer;

/** Ice points or the ends of known lengths as the picture draws them. */
export function drawnIce(marks: TrialMarks, frame: number): DrawnMark[] {
  const reference = marks.iceReference;
  const ice = { side: null as Side | null };
  if (!reference) return [];
  if (reference.kind !== "known-lengths") {
    return icePointsOn(reference, frame).map((p) => ({
      ...ice,
      id: `ice ${p.label}`,
      xPx: p.xPx,
      yPx: p.yPx,
      label: p.label,
    }));
  }
  return reference.lengths.flatMap((l, i) => [
    { ...ice, id: `length ${i} 1`, xPx: l.x1Px, yPx: l.y1Px, label: `length ${i + 1}, one end` },
    { ...ice, id: `length ${i} 2`, xPx: l.x2Px, yPx: l.y2Px, label: `length ${i + 1}, other end` },
  ]);
}
