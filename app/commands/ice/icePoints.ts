import type { FramePoints, IcePoint, IceReference } from "../../../src/study/types.ts";

/** Ice points that hold in a frame: all of a still camera's, only the frame's own where the camera moves. */
export function icePointsOn(reference: IceReference | null, frame: number): readonly IcePoint[] {
  if (reference?.kind === "ice-points") return reference.points;
  if (reference?.kind !== "ice-points-by-frame") return NONE;
  return reference.frames.find((f) => f.frame === frame)?.points ?? NONE;
}

const NONE: readonly IcePoint[] = [];

/** Every place of the ice a reference uses, once a label. */
export function icePlaces(reference: IceReference | null): readonly IcePoint[] {
  if (reference?.kind === "ice-points") return reference.points;
  if (reference?.kind !== "ice-points-by-frame") return NONE;
  const byLabel = new Map(reference.frames.flatMap((f) => f.points.map((p) => [p.label, p] as const)));
  return [...byLabel.values()];
}

/** The reference as one that was put, or looked at, on this clip itself. */
export function checkedHere<R extends IceReference>(reference: R): R {
  const { copiedFrom: _, ...own } = reference;
  return own as R;
}

/** The reference with a frame's ice points replaced (any frame's of a still camera); null when none are left. */
export function withIcePoints(
  reference: IceReference | null,
  frame: number,
  points: readonly IcePoint[],
): IceReference | null {
  if (reference?.kind === "ice-points-by-frame") {
    const others = reference.frames.filter((f) => f.frame !== frame);
    const frames: readonly FramePoints[] = points.length > 0 ? [...others, { frame, points }] : others;
    return { ...checkedHere(reference), frames: [...frames].sort((a, b) => a.frame - b.frame) };
  }
  if (points.length === 0) return null;
  return reference?.kind === "ice-points"
    ? { ...checkedHere(reference), points }
    : { kind: "ice-points", points };
}

/** An ice point as it was put on a frame; where the camera moves the frame it stands with says so. */
export function withFrame(point: IcePoint, reference: IceReference | null, frame: number): IcePoint {
  const { frame: _, ...bare } = point;
  return reference?.kind === "ice-points-by-frame" ? bare : { ...bare, frame };
}

/**
 * An ice point whose place is by eye from now on: a better SD than a hand's, as a snapped point has, was said of where it lay
 * before. A worse one stays.
 */
export function byEye(point: IcePoint, markSdPx: number): IcePoint {
  if (point.uPx === undefined || point.uPx >= markSdPx) return point;
  const { uPx: _, ...plain } = point;
  return plain;
}
