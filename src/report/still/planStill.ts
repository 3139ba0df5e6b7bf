import { MeasureError } from "../../errors.ts";
import { fitScale } from "../../ice/fitScale.ts";
import type { PicturePoint, Scale } from "../../ice/types.ts";
import { strideWidthLine } from "../../kinematics/strideWidthLine.ts";
import type { Stride, TrialReadings } from "../../kinematics/types.ts";
import type { Mark, WholeStudy } from "../../study/types.ts";

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A line on the ice as it is seen, with what it measures; `toward` is the end that is not the blade. */
export interface MeasuredLine {
  readonly blade: PicturePoint;
  readonly toward: PicturePoint;
  readonly value: number;
  readonly u95: number;
}

/** What to draw over one frame of a trial: everything in picture coordinates, px. */
export interface StillPlan {
  readonly trial: string;
  /** Id of the clip; null = not linked, then there is a drawing without a picture. */
  readonly clip: string | null;
  readonly frame: number;
  readonly picture: { readonly width: number; readonly height: number };
  /** The part of the picture to show. */
  readonly box: Box;
  readonly stride: Stride;
  readonly scale: Scale;
  readonly marks: readonly Mark[];
  /** Through the other blade's blade-off points before and after. */
  readonly track: readonly [PicturePoint, PicturePoint] | null;
  readonly width: MeasuredLine | null;
  /** Touchdown of the same blade against the track midline. */
  readonly recovery: MeasuredLine | null;
}

/** The shape stills are cut to, width over height. */
const SHAPE = 1;

/**
 * The still of a stride at its blade-off: its width and where the same blade comes down next, drawn to scale on the
 * ice. Null where the trial has no scale or the stride no width.
 */
export function planStill(
  whole: WholeStudy,
  trialId: string,
  readings: TrialReadings,
  stride: Stride,
): StillPlan | null {
  const marks = whole.marks[trialId];
  const trial = whole.study.trials.find((t) => t.id === trialId);
  if (!marks?.picture || !marks.iceReference || !trial) return null;
  const scale = scaleOrNull(whole, trialId);
  if (!scale) return null;
  const frame = stride.blade_off_frame;
  const see = (p: { readonly x: number; readonly y: number }) => scale.toPicture(p.x, p.y, 0, frame);
  const line = strideWidthLine(readings.strides, stride);
  const lined = (
    from: { readonly x: number; readonly y: number },
    to: { readonly x: number; readonly y: number },
    reading: Stride["readings"]["stride_width_m"],
  ): MeasuredLine | null => {
    const [blade, toward] = [see(from), see(to)];
    return blade && toward && reading.value !== null
      ? { blade, toward, value: reading.value, u95: reading.u95 }
      : null;
  };
  const width = line && lined(line.from, line.foot, stride.readings.stride_width_m);
  if (!line || !width) return null;
  const landing = stride.readings.touchdown_to_track_midline_m;
  const [dx, dy] = [line.after.x - line.before.x, line.after.y - line.before.y];
  const length = Math.hypot(dx, dy);
  const out = stride.side === "left" ? 1 : -1;
  const recovery =
    stride.on && landing.value !== null
      ? lined(
          stride.on,
          {
            x: stride.on.x + (out * landing.value * dy) / length,
            y: stride.on.y - (out * landing.value * dx) / length,
          },
          landing,
        )
      : null;
  const [before, after] = [see(line.before), see(line.after)];
  const here = marks.marks.filter((m) => m.frame === frame && (m.pass ?? 1) <= 1);
  const shown = [
    ...here,
    ...[width, recovery].flatMap((l) => (l ? [l.blade, l.toward] : [])),
    ...(before && after ? [before, after] : []),
  ];
  return {
    ...{ trial: trialId, clip: trial.clip ?? null, frame, picture: marks.picture, stride, scale },
    box: around(shown, marks.picture),
    marks: here,
    track: before && after ? [before, after] : null,
    width,
    recovery,
  };
}

/**
 * The two strides to show side by side, one of each trial: with width and touchdown measured, of the same blade, and
 * as nearly at the same place along the lane as there are. Null where either trial has none.
 */
export function alikeStrides(a: TrialReadings, b: TrialReadings): readonly [Stride, Stride] | null {
  const usable = (r: TrialReadings) =>
    r.strides.filter((s) => s.readings.stride_width_m.value !== null && s.off !== null);
  const both = usable(a).flatMap((s) => usable(b).map((t) => [s, t] as const));
  const lacking = (s: Stride) => (s.readings.touchdown_to_track_midline_m.value === null ? 100 : 0);
  const badness = ([s, t]: readonly [Stride, Stride]) =>
    lacking(s) + lacking(t) + (s.side === t.side ? 0 : 30) + Math.abs(s.off!.x - t.off!.x) - 0.1 * s.off!.x;
  return both.reduce<readonly [Stride, Stride] | null>(
    (best, pair) => (best === null || badness(pair) < badness(best) ? pair : best),
    null,
  );
}

function scaleOrNull(whole: WholeStudy, trialId: string): Scale | null {
  const marks = whole.marks[trialId]!;
  try {
    return fitScale(marks.iceReference!, marks.picture!, whole.study.markSdPx);
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

/** Of the height from the ice to the topmost mark. */
const HEADROOM = 0.55;

/** A box of the still's shape around points, with room, inside the picture. */
function around(points: readonly PicturePoint[], picture: StillPlan["picture"]): Box {
  const [xs, ys] = [points.map((p) => p.xPx), points.map((p) => p.yPx)];
  const [x0, x1, low, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  // Marks reach up to the hips or shoulders; the rest of the skater is above them.
  const y0 = Math.max(0, low - HEADROOM * (y1 - low));
  const [w, h] = [1.25 * (x1 - x0), 1.15 * (y1 - y0)];
  const width = Math.min(Math.max(w, h * SHAPE, 0.28 * picture.width), picture.width, picture.height * SHAPE);
  const height = width / SHAPE;
  const at = (middle: number, size: number, most: number) =>
    Math.round(Math.min(Math.max(middle - size / 2, 0), most - size));
  return {
    x: at((x0 + x1) / 2, width, picture.width),
    y: at((y0 + y1) / 2, height, picture.height),
    ...{ width: Math.round(width), height: Math.round(height) },
  };
}
