import { MeasureError } from "../../errors.ts";
import type { FramePoints, Picture } from "../../study/types.ts";
import { checkDistinct, checkInPicture, checkPointNumbers } from "../points/checkIcePoints.ts";
import type { FlatPoint } from "../points/hull.ts";

/**
 * Refuses ice points by frame that cannot give a scale, naming what is at fault.
 *
 * @throws {MeasureError} `ice-point-not-a-number`, `ice-points-identical`, `ice-point-outside-picture`, `bad-ice-frame`,
 *   `moving-camera-one-frame`, `moving-camera-no-key-frame`
 */
export function checkMovingPoints(frames: readonly FramePoints[], picture: Picture): void {
  const seen = new Set<number>();
  for (const { frame, points } of frames) {
    if (!Number.isInteger(frame) || frame < 0 || seen.has(frame)) {
      throw new MeasureError(
        "bad-ice-frame",
        `fitScale requires ice points on distinct frames numbered from 0; got ${frame}`,
        `Ice points are given on frame ${frame}${seen.has(frame) ? " twice" : ", which is no frame number"}.`,
        { frame },
      );
    }
    seen.add(frame);
    inFrame(frame, () => {
      checkPointNumbers(points);
      checkDistinct(points);
      checkInPicture(points, picture);
    });
  }
  const usable = frames.filter((f) => f.points.length >= 2);
  if (usable.length < 2) {
    const only = usable[0] ? `only on frame ${usable[0].frame}` : "on no frame";
    throw new MeasureError(
      "moving-camera-one-frame",
      `fitScale requires ice points on two or more frames of a moving camera; got ${usable.length}`,
      `The camera moves, and ice points (two or more) are given ${only}. What holds in one frame is wrong in the next: mark ice points on every frame that is measured. If the camera stood still, give them as a static camera's ice points instead.`,
      { frames: usable.length },
    );
  }
  if (!usable.some((f) => f.points.length >= 4) || onOneLine(usable.flatMap((f) => f.points))) {
    throw new MeasureError(
      "moving-camera-no-key-frame",
      "fitScale requires a frame with 4 or more ice points, and points that are not all on one line",
      "No frame has four ice points, or all points lie on one line, so the tripod's place can't be told. Mark eight points on each of three frames, spread along the lane and across it; then two points are enough on the others.",
    );
  }
}

/** Within half a hundredth of its length. */
function onOneLine(places: readonly FlatPoint[]): boolean {
  const a = places[0]!;
  const away = (p: FlatPoint) => Math.hypot(p.x - a.x, p.y - a.y);
  const b = places.reduce((far, p) => (away(p) > away(far) ? p : far), a);
  const length = away(b);
  return places.every(
    (p) => Math.abs((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) <= 0.005 * length ** 2,
  );
}

/** Says which frame a complaint is about. */
function inFrame(frame: number, check: () => void): void {
  try {
    check();
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    throw new MeasureError(
      error.code,
      `frame ${frame}: ${error.message}`,
      `On frame ${frame}: ${error.coach}`,
      { ...error.data, frame },
    );
  }
}

export function undetermined(): MeasureError {
  return new MeasureError(
    "moving-camera-undetermined",
    "fitScale requires ice points that tell the tripod's place and the focal length of a moving camera",
    "The ice points don't show well enough where the tripod stands and how the lens is set. Mark eight points on each of three frames, spread along the lane and across it.",
  );
}

export function notFound(): MeasureError {
  return new MeasureError(
    "moving-camera-not-found",
    "fitScale requires ice points of a moving camera that belong together; the search for a camera that sees them so was given up",
    "No camera was found that would see these ice points where they are marked, so two of them are probably exchanged, or a place is wrong. Check each frame's points, those of the first frames first.",
  );
}
