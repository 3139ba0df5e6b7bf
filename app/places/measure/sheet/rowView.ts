import type { MarkedPicture, TrialMarks } from "../../../../src/study/types.ts";
import { timeOf } from "../../../store/clipFrames.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { depthOf } from "../guide/sequence.ts";
import { areaOf, hiddenArea } from "./areas.ts";
import type { Found, FoundEvent } from "./found.ts";
import { isAnswered, type Piece, piecesOf, pressWords, type RowEdits } from "./rowPoints.ts";
import { firstShown, type HiddenBy } from "./sheetStrides.ts";

export const rowKey = ({ event, side, frame }: FoundEvent) => `${event} ${side} ${frame}`;

/** The row of which another frame was picked, as it was found: what is looked for anew counts it as confirmed, the coach has not. */
export interface Held {
  readonly row: FoundEvent;
  readonly found: Found;
}

const isHip = (piece: Piece) => piece[0]?.point === "hip";

/** A row as it stands: what is suggested of it, with what was changed of that, and where to look. */
export function viewOf(
  m: Pick<Measuring, "whole" | "marks" | "index">,
  { found, held }: { readonly found: Found; readonly held: Held | null },
  row: FoundEvent,
  edited: RowEdits | undefined,
  hidden: HiddenBy | null,
) {
  const blind = hidden !== null;
  const first = firstShown(row, hidden);
  const edits = edited ?? { frame: blind ? first + 2 : row.frame, put: {}, notSeen: [] };
  const time = timeOf(m.index, edits.frame) ?? 0;
  const given = { marks: m.marks, found, depth: depthOf(m.whole.study), time };
  const pieces = piecesOf(given, row, edits, blind);
  /** Where to look, by what was found first, whichever frame is picked. */
  const base = piecesOf(
    { ...given, found: held && rowKey(held.row) === rowKey(row) ? held.found : found },
    row,
    { frame: row.frame, put: {}, notSeen: [] },
    false,
  );
  const hasHips = base.some(isHip);
  return {
    blind,
    edits,
    time,
    /** The strip moves on only when the frame picked would leave it; where there is little room its ends are not shown. */
    first: Math.max(0, Math.min(Math.max(first, edits.frame - 3), edits.frame - 1)),
    pieces,
    // Hips close by are marked once for several frames: another frame may ask for them.
    base: hasHips ? base : [...base, ...pieces.filter(isHip)],
  };
}

/** The parts of the pictures that show its blades and its hips. */
export function areasOf(
  pieces: readonly Piece[],
  row: Pick<FoundEvent, "event" | "side" | "frame">,
  given: {
    readonly marks: TrialMarks;
    readonly picture: MarkedPicture;
    readonly blind: HiddenBy | null;
  },
  isDone: boolean,
) {
  const area = (of: readonly Piece[], what: string) => {
    const found = of.length > 0 ? areaOf(of, row, given, isDone) : null;
    return found && given.blind ? hiddenArea(found, given.picture, given.blind, what) : found;
  };
  return {
    blades: area(
      pieces.filter((p) => !isHip(p)),
      "blades",
    ),
    hips: area(pieces.filter(isHip), "hips"),
  };
}

/** Why nothing is suggested of a piece on this frame. */
export function withheldHere({ withheld }: Found, frame: number, pieces: readonly Piece[]): string | null {
  const open = pieces.find((piece) => !isAnswered(piece));
  if (!open) return null;
  const what = open[0]?.point === "hip" ? "body" : "blades";
  const told = withheld.find((w) => w.what === what && (w.frame === frame || w.frame === undefined));
  return `${told ? `${told.why} ` : ""}${pressWords(open)}`;
}
