import type { ScaleReference } from "../ice/fitScale.ts";
import { followed } from "../ice/moving/follow/background.ts";
import type { SetupClip, SetupReference } from "../ice/setup/setupClips.ts";
import type { SteadyPicture } from "../ice/types.ts";
import type { ClipMotion, IcePoint, IceReference, Picture } from "../study/types.ts";
import { pieceOf, piecesOf } from "./pieces.ts";
import { type PointFrames, steadyPicture } from "./steadyPicture.ts";

/** What a clip is measured with once its background has been looked at: one that stands still but for shaking, or one that pans. */
export function underMotion(
  motion: ClipMotion,
  reference: IceReference | null,
  picture: Picture,
  markSdPx: number,
): { readonly steady?: SteadyPicture; readonly reference: ScaleReference | null } {
  return reference?.kind === "ice-points-by-frame"
    ? { reference: followed(motion, reference) }
    : steadied(motion, reference, picture, markSdPx);
}

type Points = Extract<IceReference, { kind: "ice-points" }>;

/** px: a point of which less is left open than so, by its frame, is as good as any. */
const WORTH_PX = 0.2;

/** What a clip is measured with once its background has been looked at. */
export interface Steadied {
  readonly steady: SteadyPicture;
  /** The ice reference in the picture that stands still; a joint one of pieces of the clip where a knock parts its points. */
  readonly reference: Still | SetupReference | null;
}

type Still = Exclude<IceReference, { kind: "ice-points-by-frame" }>;

/**
 * A clip's ice reference moved to where it would lie if the picture stood still.
 *
 * @param markSdPx SD of a point that has none of its own, px
 */
export function steadied(
  motion: ClipMotion,
  reference: Still | null,
  picture: Picture,
  markSdPx: number,
): Steadied {
  const steady = steadyPicture(motion, picture, pointFrames(reference));
  if (steady.isStill || reference === null) return { steady, reference };
  if (reference.kind === "known-lengths") {
    const lengths = reference.lengths.map((l) => {
      const { frame } = l;
      if (frame === undefined) return l;
      const [a, b] = [
        steady.still({ xPx: l.x1Px, yPx: l.y1Px }, frame),
        steady.still({ xPx: l.x2Px, yPx: l.y2Px }, frame),
      ];
      return { ...l, x1Px: a.xPx, y1Px: a.yPx, x2Px: b.xPx, y2Px: b.yPx };
    });
    return { steady, reference: { ...reference, lengths } };
  }
  const parts = partsOf(motion, reference, steady, markSdPx);
  const [only] = parts;
  if (parts.length > 1) return { steady, reference: joint(parts, reference) };
  return {
    steady,
    reference: only ? { ...plain(reference), points: only.points, ...again(only) } : reference,
  };
}

/** Of a clip of a camera set-up: the one piece between knocks with the most ice points serves all of the set-up's clips. */
export function steadiedInSetup(
  motion: ClipMotion,
  reference: Points | null,
  picture: Picture,
  markSdPx: number,
): { readonly steady: SteadyPicture; readonly clip: Pick<SetupClip, "points" | "rechecks"> } {
  const pieces = piecesOf(motion);
  const all = pointFrames(reference);
  const counts = pieces.map((_, k) => all?.frames.filter((f) => pieceOf(pieces, f) === k).length ?? 0);
  const most = counts.indexOf(Math.max(...counts));
  const points = all && { ...all, frames: all.frames.filter((f) => pieceOf(pieces, f) === most) };
  const steady = steadyPicture(motion, picture, points);
  if (!reference || steady.isStill) return { steady, clip: reference ?? { points: [] } };
  const part = partsOf(motion, reference, steady, markSdPx).find(({ from }) => from === pieces[most]!.from);
  return { steady, clip: part ? { points: part.points, ...again(part) } : { points: [] } };
}

function plain({ rechecks: _, ...reference }: Points): Points {
  return reference;
}

function again({ rechecks }: Pick<SetupClip, "rechecks">): Pick<SetupClip, "rechecks"> {
  return rechecks ? { rechecks } : {};
}

function pointFrames(reference: IceReference | null): PointFrames | null {
  if (reference?.kind !== "ice-points") return null;
  const frames = reference.points.flatMap(({ frame }) => (frame === undefined ? [] : [frame]));
  return { frames, isSaid: frames.length === reference.points.length };
}

/** The reference's points by the pieces between knocks that have two or more, moved to the picture that stands still. */
function partsOf(
  motion: ClipMotion,
  { points, rechecks = [] }: Points,
  steady: SteadyPicture,
  markSdPx: number,
) {
  const pieces = piecesOf(motion);
  const { common } = steady;
  return pieces.flatMap(({ from }, k) => {
    const inPiece = (frame: number | undefined) =>
      frame === undefined ? pieces.length === 1 : pieceOf(pieces, frame) === k;
    const own = points.filter((p) => inPiece(p.frame));
    if (own.length < 2) return [];
    const moved = own.map((p): IcePoint => {
      const at = p.frame === undefined ? p : { ...p, ...steady.still(p, p.frame) };
      const doubt = p.frame === undefined ? (common?.shiftPx ?? 0) : steady.doubt(p.frame).shiftPx;
      return doubt > WORTH_PX ? { ...at, uPx: Math.hypot(p.uPx ?? markSdPx, doubt) } : at;
    });
    const again = rechecks
      .filter((r) => inPiece(r.frame))
      .map((r) => ({ ...r, ...steady.still(r, r.frame) }));
    return [{ from, points: moved, ...(again.length > 0 && { rechecks: again }) }];
  });
}

/** One camera in one place, turned a little by each knock: as the clips of a set-up are. */
function joint(parts: ReturnType<typeof partsOf>, { lens }: Points): SetupReference {
  const name = (from: number) => `from frame ${from}`;
  return {
    kind: "set-up",
    trial: name(parts[0]!.from),
    setup: {
      id: "pieces",
      name: "this clip",
      ...(lens && { lens }),
      clips: parts.map(({ from, ...part }) => ({ trial: name(from), ...part })),
    },
    pieces: parts.map(({ from }) => ({ from, trial: name(from) })),
  };
}
