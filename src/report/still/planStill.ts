import { MeasureError } from "../../errors.ts";
import type { FittedScale } from "../../ice/camera/ground.ts";
import { fitScale } from "../../ice/fitScale.ts";
import type { PicturePoint, Scale } from "../../ice/types.ts";
import type { Stride, TrialReadings } from "../../kinematics/types.ts";
import { seenMoved } from "../../motion/seenMoved.ts";
import { viewWithId } from "../../study/trialViews.ts";
import type { Mark, Picture, TrialMarks, WholeStudy } from "../../study/types.ts";
import { trialScale } from "../../trials/scaleReference.ts";
import { emptyMarks, iceMarkSd } from "../../trials/trialInput.ts";
import { aimer } from "../film/aim.ts";
import { bodyArea } from "../film/bodyArea.ts";
import type { Area } from "../film/layout.ts";
import { type ArmLine, armLines } from "./armLine.ts";
import {
  type MeasuredLine,
  type RecoveryLine,
  recoveryLine,
  touchdownLine,
  type WidthLine,
  widthLine,
} from "./measuredLines.ts";

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** What to draw over one frame of a trial: everything in picture coordinates, px. */
export interface StillPlan {
  readonly trial: string;
  /** Id of the clip; null = not linked, then there is a drawing without a picture. */
  readonly clip: string | null;
  readonly frame: number;
  readonly picture: Picture;
  /** The part of the picture to show. */
  readonly box: Box;
  /** Picture px to which letters and lines are sized. */
  readonly unitPx: number;
  /** What the frame shows, in words: "left blade-off of stride 3". */
  readonly shows: string;
  /** null: the ice has no scale, and nothing is drawn on it. */
  readonly scale: Scale | null;
  /** Where the skater's body is seen, off which the grid keeps; null = not known. */
  readonly body: Area | null;
  readonly marks: readonly Mark[];
  readonly width: WidthLine | null;
  /** Touchdown of the same blade against the track midline. */
  readonly touchdown: MeasuredLine | null;
  readonly recovery: RecoveryLine | null;
  /** Arms at an extreme of their swing. */
  readonly arms: readonly ArmLine[];
}

/** Width over height of the stills side by side in a report: a skater stands upright. */
const SHAPE = 0.72;
/** Of a whole picture's width: it is shown larger than a part is. */
const WHOLE_UNIT = 0.0028;

/** One trial's stills of a report. */
export interface StridePlans {
  /** At blade-off, with the width and the next touchdown; of arms at the front extreme. */
  readonly off: StillPlan;
  /** Where the recovering blade is nearest the midline; null where recovery to midline was not measured. Of arms at the back extreme. */
  readonly nearest: StillPlan | null;
}

/** The stills of a stride, drawn to scale on the ice. Null where the trial has no scale or the stride no width. */
export function planStrideStills(
  whole: WholeStudy,
  trialId: string,
  { strides }: TrialReadings,
  stride: Stride,
): StridePlans | null {
  const base = planBase(whole, trialId);
  if (!base?.scale) return null;
  const { scale, marksOn, bodyIn, events: _, ...rest } = base;
  const { recovery, blade_off_frame: frame, side } = stride;
  const width = widthLine(scale, frame, strides, stride);
  if (!width) return null;
  const touchdown = touchdownLine(scale, frame, strides, stride);
  const plan = (at: number, lines: Partial<StillPlan>, shows: string): StillPlan => {
    const marks = marksOn(at);
    const drawn = [lines.width, lines.touchdown, lines.recovery].flatMap((l) =>
      l ? [l.blade, l.toward] : [],
    );
    const box = around([...marks, ...drawn], base.picture);
    const unitPx = box.width / 100;
    const none = { width: null, touchdown: null, recovery: null, arms: [] };
    const body = bodyIn(strides)(at);
    return { ...rest, scale, body, frame: at, marks, box, unitPx, shows, ...none, ...lines };
  };
  const nearest = recovery && recoveryLine(scale, recovery.frame, stride);
  return {
    off: plan(frame, { width, touchdown }, offWords(stride)),
    nearest: nearest && plan(recovery.frame, { recovery: nearest }, nearestWords(side)),
  };
}

/**
 * Any frame of a trial, whole: its marks, the metre grid, and what is measured in it. Null for a trial that is not in
 * the study.
 *
 * @param readings null = the trial cannot be measured; marks and grid are drawn all the same
 * @param picture how large the frame is as displayed, px
 */
export function planFrame(
  whole: WholeStudy,
  trialId: string,
  readings: TrialReadings | null,
  frame: number,
  picture: StillPlan["picture"],
): StillPlan | null {
  const base = planBase(whole, trialId, picture);
  if (!base) return null;
  const { marksOn, scale, bodyIn, events, ...rest } = base;
  const strides = readings?.strides ?? [];
  const off = strides.find((s) => s.blade_off_frame === frame);
  const on = strides.find((s) => s.blade_on_frame === frame);
  const nearest = strides.find((s) => s.recovery?.frame === frame);
  const said = [
    ...(off ? [offWords(off)] : []),
    ...(on ? [`${on.side} blade-on`] : []),
    ...(nearest ? [nearestWords(nearest.side)] : []),
  ];
  return {
    ...rest,
    scale,
    frame,
    body: bodyIn(strides)(frame),
    marks: marksOn(frame),
    box: { x: 0, y: 0, ...base.picture },
    unitPx: WHOLE_UNIT * base.picture.width,
    shows: said.join(", "),
    width: scale && off ? widthLine(scale, frame, strides, off) : null,
    touchdown: scale && on ? touchdownLine(scale, frame, strides, on) : null,
    recovery: scale && nearest ? recoveryLine(scale, frame, nearest) : null,
    arms: scale && readings ? armLines(scale, frame, readings, events) : [],
  };
}

function offWords({ side, stride }: Stride): string {
  return `${side} blade-off of stride ${stride}`;
}

function nearestWords(side: Stride["side"]): string {
  return `recovering ${side} blade nearest the midline`;
}

/** What all stills of a trial share; null where nothing tells how large the picture is. */
export function planBase(whole: WholeStudy, trialId: string, picture?: StillPlan["picture"]) {
  const marks = whole.marks[trialId] ?? emptyMarks(trialId);
  const trial = viewWithId(whole.study, trialId);
  const size = marks.picture ?? picture;
  if (!size || !trial) return null;
  const { width, height } = size;
  const scale = scaleOrNull(whole, trialId);
  return {
    trial: trialId,
    clip: trial.clip ?? null,
    picture: { width, height },
    scale,
    events: marks.events,
    bodyIn: (strides: readonly Stride[]) => bodySeen(scale, strides, marks, trial.speedFactor),
    /** Marks made again lie on top of the first ones. */
    marksOn: (frame: number) => marks.marks.filter((m) => m.frame === frame && (m.pass ?? 1) <= 1),
  };
}

/** Where the body is seen in a frame, from where the blade-offs say the skater is; frames as evenly spaced as the picture says. */
function bodySeen(
  scale: FittedScale | null,
  strides: readonly Stride[],
  { picture, gatePassings = [] }: TrialMarks,
  speedFactor: number,
): (frame: number) => Area | null {
  if (!scale || !picture) return () => null;
  const last = Math.max(...strides.map((s) => s.blade_off_frame), ...gatePassings.map((g) => g.frame), 0);
  const times = (upTo: number) => Array.from({ length: upTo + 1 }, (_, k) => k * picture.frameInterval);
  return (frame) => {
    const aim = aimer(strides, gatePassings, scale, times(Math.max(last, frame)), speedFactor)?.(frame);
    return aim ? bodyArea([aim.xPx, aim.yPx], aim.pxPerMetre) : null;
  };
}

function scaleOrNull(whole: WholeStudy, trialId: string): FittedScale | null {
  const { picture } = whole.marks[trialId] ?? emptyMarks(trialId);
  const { reference, steady } = trialScale(whole, trialId);
  if (!reference || !picture) return null;
  try {
    const scale = fitScale(reference, picture, iceMarkSd(whole));
    return scale.unprovenWhy === undefined ? seenMoved(scale, steady) : null;
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

/** Of the height from the ice to the topmost mark. */
const HEADROOM = 0.55;

/** How much lower than the middle, of the box's height. */
const ROOM_BELOW = 0.05;

/** A box of the still's shape around points, with room, inside the picture. */
export function around(points: readonly PicturePoint[], picture: StillPlan["picture"]): Box {
  const [xs, ys] = [points.map((p) => p.xPx), points.map((p) => p.yPx)];
  const [x0, x1, low, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  // Marks reach up to the hips or shoulders; the rest of the skater is above them.
  const y0 = Math.max(0, low - HEADROOM * (y1 - low));
  const [w, h] = [1.3 * (x1 - x0), 1.2 * (y1 - y0)];
  const width = Math.min(Math.max(w, h * SHAPE, 0.16 * picture.width), picture.width, picture.height * SHAPE);
  const height = width / SHAPE;
  const at = (middle: number, size: number, most: number) =>
    Math.round(Math.min(Math.max(middle - size / 2, 0), most - size));
  return {
    x: at((x0 + x1) / 2, width, picture.width),
    // More room below: there the values stand.
    y: at((y0 + y1) / 2 + ROOM_BELOW * height, height, picture.height),
    width: Math.round(width),
    height: Math.round(height),
  };
}
