import type { ScaleSummary } from "../ice/types.ts";
import { originWords } from "../marks/origins.ts";
import { type Names, trialLabel } from "../study/labels.ts";
import { viewsOf } from "../study/trialViews.ts";
import type { Trial, WholeStudy } from "../study/types.ts";
import { measuredTrial } from "../trials/measuredViews.ts";
import type { ReadingOf } from "../trials/techniqueCheck.ts";
import { formatNumber, formatReading } from "../uncertainty/format.ts";
import type { ViewSummary } from "../views/types.ts";
import { setupWords } from "./setupWords.ts";

export interface MarkedTrial {
  readonly trial: string;
  readonly marks: string;
  readonly scale: string;
  /** "31.9 ± 0.8 m along, 0.2 ± 0.1 m to the right, 3.00 ± 0.12 m up"; a dash where it is not known. */
  readonly camera: string;
  /** Misfit of its ice points, px; null where there is none. */
  readonly fitPx: number | null;
}

/** Of a trial's first view; none where nothing is marked. */
export function markingOf(
  whole: WholeStudy,
  trial: Trial,
  names: Names,
  readingOf: ReadingOf,
): MarkedTrial[] {
  const marks = whole.marks[trial.id];
  if (!marks?.picture) return [];
  const reading = readingOf(trial.id);
  const slowed =
    trial.speedFactor === 1 ? "" : `; the clip plays ${trial.speedFactor} times slower than life`;
  const strides = reading.ok ? `, ${reading.value.strides.length} strides` : "";
  const origins = originWords(marks);
  return [
    {
      trial: trialLabel(whole.study, trial.id, names),
      marks: `${marks.marks.length} marks, ${marks.events.length} event frames${strides}${slowed}${origins ? `. ${origins}` : ""}`,
      scale: !reading.ok
        ? reading.error.coach
        : reading.value.scale
          ? scaleText(reading.value.scale) +
            setupWords(reading.value.scale.setup, trial.id, whole.study, names)
          : (reading.value.scaleWhy ?? "none"),
      camera: reading.ok ? cameraText(reading.value.scale?.camera ?? null) : "–",
      fitPx: reading.ok ? (reading.value.scale?.rmsPx ?? null) : null,
    },
  ];
}

/** Of the further views of a trial, each by itself: marks, scale, camera, and how its clock lies. */
export function furtherMarking(
  whole: WholeStudy,
  trial: Trial,
  names: Names,
  readingOf: ReadingOf,
): MarkedTrial[] {
  const [, ...further] = viewsOf(trial);
  if (further.length === 0 || !readingOf(trial.id).ok) return [];
  const { views, ids } = measuredTrial(whole, trial);
  return further.flatMap(({ id, speedFactor }, k): MarkedTrial[] => {
    const marks = whole.marks[id];
    if (!marks?.picture) return [];
    const found = views[ids.indexOf(id)];
    const clock = found
      ? `; ${found.shared} strides shared with view 1, ${formatReading(found.offset, "s")} added to its clock${soundWords(found)}`
      : "; not measured with view 1";
    const slowed = speedFactor === 1 ? "" : `; the clip plays ${speedFactor} times slower than life`;
    return [
      {
        trial: `${trialLabel(whole.study, trial.id, names)}, view ${k + 2}`,
        marks: `${marks.marks.length} marks, ${marks.events.length} event frames${slowed}${clock}`,
        scale: found?.scale
          ? scaleText(found.scale) + setupWords(found.scale.setup, id, whole.study, names)
          : (found?.scaleWhy ?? "–"),
        camera: cameraText(found?.scale?.camera ?? null),
        fitPx: found?.scale?.rmsPx ?? null,
      },
    ];
  });
}

function cameraText(camera: ScaleSummary["camera"]): string {
  if (!camera) return "–";
  const side = camera.y >= 0 ? "left" : "right";
  const [x, y, height] = [camera.x, Math.abs(camera.y), camera.height].map((value, k) =>
    formatReading({ value, u95: camera.u95Place[k]! }, "m"),
  );
  return `${x} along, ${y} to the ${side}, ${height} up; focal length ${formatNumber(camera.focalPx, 0)} ± ${formatNumber(camera.u95FocalPx, 0)} px`;
}

/** "8 ice points, fit 0.9 px = 3.8 cm on the ice (0.8 cm across the lane)" */
function scaleText(scale: ScaleSummary): string {
  const what =
    scale.kind === "known-lengths"
      ? `known length${scale.points === 1 ? "" : "s"}`
      : scale.frames === undefined
        ? "ice points"
        : `ice points on ${scale.frames} frames`;
  const across =
    scale.rmsAcross === null ? "" : ` (${formatNumber(100 * scale.rmsAcross, 1)} cm across the lane)`;
  const fit = [
    ...(scale.rmsPx === null ? [] : [`${formatNumber(scale.rmsPx, 1)} px`]),
    ...(scale.rms === null ? [] : [`${formatNumber(100 * scale.rms, 1)} cm on the ice${across}`]),
  ];
  return `${scale.points} ${what}${fit.length > 0 ? `, fit ${fit.join(" = ")}` : ""}`;
}

/** Why a fit of many centimetres and a width to two centimetres do not contradict each other. */
export function fitWords(scales: readonly ScaleSummary[]): string | null {
  const across = scales.flatMap((s) => (s.rmsAcross === null ? [] : [100 * s.rmsAcross]));
  if (across.length === 0) return null;
  const [least, most] = [Math.min(...across), Math.max(...across)].map((cm) => formatNumber(cm, 1));
  const range = least === most ? most : `${least} to ${most}`;
  return `Fit: how far the ice points disagree with each other (root mean square). The farther from the camera, the more centimetres a pixel covers along the line of sight, and far fewer from side to side. Across the lane, where widths lie, the ice points disagree by ${range} cm. What they leave open of the scale is part of every ±.`;
}

/** Whether what both clips let hear ties the clock. */
function soundWords({ sound }: ViewSummary): string {
  if (!sound || "value" in sound || !sound.used) return "";
  return sound.events === 0 ? ", by sound" : ", by sound as well";
}
