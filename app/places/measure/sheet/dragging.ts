import type { At, Piece, RowPoint } from "./rowPoints.ts";

/** What a press on a magnified part has hold of. */
export type Drag =
  | {
      readonly kind: "move";
      readonly from: At;
      readonly piece: number;
      /** The end that is held; null = the middle. */
      readonly index: number | null;
      /** Where the points of the piece were. */
      readonly at: readonly At[];
      readonly alone: boolean;
    }
  | {
      readonly kind: "put";
      readonly from: At;
      readonly piece: number;
      /** Dragged less than this, px, nothing is put: a press alone takes no suggestion away. */
      readonly least: number;
    };

/** The end, or the middle, of a piece next to a place, no farther from it than `within`, px. */
function nearest(
  pieces: readonly Piece[],
  to: At,
  within: number,
): Pick<Drag & { kind: "move" }, "piece" | "index" | "at"> | null {
  const all = pieces.flatMap((piece, k) => {
    if (!piece.every((p) => p.at && !p.notSeen)) return [];
    const at = piece.map((p) => p.at as At);
    const [a, b] = at;
    const middle = a && b ? [{ index: null, place: between(a, b) }] : [];
    return [...at.map((place, index) => ({ index, place })), ...middle].map(({ index, place }) => ({
      ...{ piece: k, index, at },
      away: Math.hypot(place.xPx - to.xPx, place.yPx - to.yPx),
    }));
  });
  const [best] = all.filter((one) => one.away <= within).sort((a, b) => a.away - b.away);
  return best ?? null;
}

const between = (a: At, b: At): At => ({ xPx: (a.xPx + b.xPx) / 2, yPx: (a.yPx + b.yPx) / 2 });

/** What is pressed on; null where there is nothing to move or put. Aside of everything the piece next to it is drawn anew. */
export function pressedOn(
  pieces: readonly Piece[],
  from: At,
  { within, alone }: { readonly within: number; readonly alone: boolean },
): Drag | null {
  const taken = nearest(pieces, from, within);
  if (taken) return { kind: "move", from, ...taken, alone };
  const empty = pieces.findIndex((piece) => piece.every((p) => p.at === null && !p.notSeen));
  if (empty >= 0) return { kind: "put", from, piece: empty, least: 0 };
  const next = nearest(pieces, from, Number.POSITIVE_INFINITY);
  return next && { kind: "put", from, piece: next.piece, least: within };
}

/**
 * Where the points of the piece are now, none where they stay: all moved as one, one end alone with Shift held, or put from press to here. Who presses
 * on one end and drags on to the other draws the piece anew, as one that is not suggested: both ends with one drag.
 */
export function putBy(drag: Drag, pieces: readonly Piece[], now: At): { at: At; point: RowPoint }[] {
  const piece = pieces[drag.piece] ?? [];
  const [dx, dy] = [now.xPx - drag.from.xPx, now.yPx - drag.from.yPx];
  if (drag.kind === "put") return Math.hypot(dx, dy) < drag.least ? [] : drawn(piece, 0, drag.from, now);
  const anew = drawnFrom(drag, dx, dy);
  if (anew !== null) return drawn(piece, anew, drag.from, now);
  return piece.map((point, k) => {
    const at = drag.at[k] as At;
    const still = drag.alone && k !== (drag.index ?? 0);
    return { point, at: still ? at : { xPx: at.xPx + dx, yPx: at.yPx + dy } };
  });
}

const drawn = (piece: Piece, first: number, from: At, to: At) =>
  piece.map((point, k) => ({ point, at: k === first ? from : to }));

/**
 * The end from which the piece is drawn anew; null where it is moved. Drawn it is once the pointer came nearer to where it
 * would be at the other end than to where it was: no piece lies that far off.
 */
function drawnFrom({ index, at, alone }: Drag & { kind: "move" }, dx: number, dy: number): number | null {
  const [a, b] = at;
  if (alone || !a || !b) return null;
  const ways = [
    [b.xPx - a.xPx, b.yPx - a.yPx],
    [a.xPx - b.xPx, a.yPx - b.yPx],
  ] as const;
  const found = ways.findIndex(
    ([x, y], k) => (index ?? k) === k && Math.hypot(dx - x, dy - y) < Math.hypot(dx, dy),
  );
  return found < 0 ? null : found;
}
