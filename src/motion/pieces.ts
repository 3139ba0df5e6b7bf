import type { ClipMotion } from "../study/types.ts";

/** Frames between two knocks: from the first to before the last. */
export interface Piece {
  readonly from: number;
  readonly to: number;
}

/** What a clip's knocks split it into, in order; all of it where there was none. */
export function piecesOf({ bumps }: Pick<ClipMotion, "bumps">): readonly Piece[] {
  const at = bumps.map((b) => b.frame).sort((a, b) => a - b);
  return [...at, Number.POSITIVE_INFINITY].map((to, k) => ({ from: k === 0 ? 0 : at[k - 1]!, to }));
}

/** Which of them a frame is in. */
export function pieceOf(pieces: readonly Piece[], frame: number): number {
  return pieces.findIndex(({ from, to }) => frame >= from && frame < to);
}
