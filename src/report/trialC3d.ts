import { MeasureError } from "../errors.ts";
import { fitScale } from "../ice/fitScale.ts";
import type { Side, WholeStudy } from "../study/types.ts";
import { type C3dPoint, c3dFile } from "./c3d.ts";

const POINTS = ["blade_heel", "blade_toe"] as const;
const LABELS = (["left", "right"] as const).flatMap((side) => POINTS.map((point) => ({ side, point })));

/**
 * A trial's blade points on the ice as C3D, ice frame, metres, z = 0. A blade is on the ice in the frames of its own
 * blade-off and blade-on, and while the other one leaves the ice; in all other frames its points are missing, and so
 * is whatever lies off the ice, whose height one camera does not see. Frame n of the file is frame n − 1 of the clip.
 *
 * Null where the trial has no scale or no such points.
 */
export function trialC3d(whole: WholeStudy, trialId: string): Uint8Array | null {
  const marks = whole.marks[trialId];
  const trial = whole.study.trials.find((t) => t.id === trialId);
  if (!trial || !marks?.picture || !marks.iceReference) return null;
  let scale: ReturnType<typeof fitScale>;
  try {
    scale = fitScale(marks.iceReference, marks.picture, whole.study.markSdPx);
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
  const onIce = new Set<string>();
  for (const { event, side, frame } of marks.events) {
    if (event === "blade_off" || event === "blade_on") onIce.add(`${frame} ${side}`);
    if (event === "blade_off") onIce.add(`${frame} ${other(side)}`);
  }
  const placed = new Map<string, C3dPoint>();
  for (const mark of marks.marks) {
    const key = `${mark.frame} ${mark.side} ${mark.point}`;
    if (!onIce.has(`${mark.frame} ${mark.side}`) || placed.has(key)) continue;
    if (mark.point !== "blade_heel" && mark.point !== "blade_toe") continue;
    const place = scale.toIce(mark, mark.frame);
    if (place) placed.set(key, { x: place.x, y: place.y, z: 0 });
  }
  if (placed.size === 0) return null;
  const numbers = [...placed.keys()].map((key) => Number(key.split(" ")[0]));
  const [first, last] = [Math.min(...numbers), Math.max(...numbers)];
  return c3dFile({
    labels: LABELS.map(({ side, point }) => `${side}_${point}`),
    descriptions: LABELS.map(({ side, point }) => `${side} ${point.replace("_", " ")} end on the ice`),
    rate: trial.speedFactor / marks.picture.frameInterval,
    firstFrame: first + 1,
    frames: Array.from({ length: last - first + 1 }, (_, k) =>
      LABELS.map(({ side, point }) => placed.get(`${first + k} ${side} ${point}`) ?? null),
    ),
  });
}

function other(side: Side): Side {
  return side === "left" ? "right" : "left";
}
