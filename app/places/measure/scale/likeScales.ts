import type { ScaleSummary } from "../../../../src/ice/types.ts";
import type { IceReference, MarkedPicture, Trial, WholeStudy } from "../../../../src/study/types.ts";
import { formatNumber } from "../../../../src/uncertainty/format.ts";
import { iceScale } from "../core/iceScale.ts";

/** Another trial whose scale could be copied. */
export interface LikeScale {
  readonly trial: Trial;
  readonly reference: IceReference;
  /** Pictures of another size are of another camera, or of one set differently. */
  readonly sameSize: boolean;
  /** Where its fit says the camera stood; null = not known. */
  readonly camera: ScaleSummary["camera"];
}

/**
 * Scales of other trials, the likeliest to hold here first: those with pictures of the same size, then those whose
 * camera stood where this trial's own scale says, as far as there is one; then those filmed nearest in the run order.
 */
export function likeScales(
  whole: WholeStudy,
  trial: Trial,
  picture: Pick<MarkedPicture, "width" | "height"> | null,
): readonly LikeScale[] {
  const own = cameraOf(whole, trial.id);
  const found = whole.study.trials.flatMap((other): LikeScale[] => {
    const { iceReference: reference = null, picture: its = null } = whole.marks[other.id] ?? {};
    if (other.id === trial.id || !reference) return [];
    const sameSize = picture !== null && its?.width === picture.width && its.height === picture.height;
    return [{ trial: other, reference, sameSize, camera: cameraOf(whole, other.id) }];
  });
  const away = ({ camera }: LikeScale) =>
    own && camera ? Math.hypot(camera.x - own.x, camera.y - own.y, camera.height - own.height) : 0;
  const later = (s: LikeScale) => Math.abs(s.trial.order - trial.order);
  return found.sort(
    (a, b) => Number(b.sameSize) - Number(a.sameSize) || away(a) - away(b) || later(a) - later(b),
  );
}

function cameraOf(whole: WholeStudy, trial: string): ScaleSummary["camera"] {
  const marks = whole.marks[trial];
  const scale = marks && iceScale(whole, trial, marks.picture);
  return scale?.ok ? scale.value.summary.camera : null;
}

/** "camera 49.2 m along, 0.7 m to the left, 3.2 m up" */
export function cameraWords(camera: Pick<NonNullable<ScaleSummary["camera"]>, "x" | "y" | "height">): string {
  const side = camera.y >= 0 ? "left" : "right";
  return `camera ${formatNumber(camera.x, 1)} m along, ${formatNumber(Math.abs(camera.y), 1)} m to the ${side}, ${formatNumber(camera.height, 1)} m up`;
}
