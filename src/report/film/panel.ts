import { MeasureError } from "../../errors.ts";
import type { FittedScale } from "../../ice/camera/ground.ts";
import { type GridLine, iceGrid } from "../../ice/camera/iceGrid.ts";
import { fitScale } from "../../ice/fitScale.ts";
import type { PicturePoint } from "../../ice/types.ts";
import type { Stride } from "../../kinematics/types.ts";
import { seenMoved } from "../../motion/seenMoved.ts";
import type { Picture, WholeStudy } from "../../study/types.ts";
import { EVENT_U95_FRAMES } from "../../time/eventTime.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import { asksForArms } from "../../trials/armsMeant.ts";
import { trialScale } from "../../trials/scaleReference.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { iceMarkSd } from "../../trials/trialInput.ts";
import { formatNumber, formatReading, withUnit } from "../../uncertainty/format.ts";
import { type Aim, aimer } from "./aim.ts";
import { type ArmNow, armsNow } from "./armsNow.ts";
import { type IceMarks, iceMarks, type LatestReading, latest } from "./iceMarks.ts";
import { PX_PER_METRE, pictureAreas } from "./layout.ts";
import type { LinedUp } from "./lineUp.ts";
import { isContact, type Moment, type MomentFrame, sinceWords } from "./moment.ts";
import type { Subject } from "./subjects.ts";

/** The part of a picture that is shown: its top left corner, px of the picture, and output px a px of the picture. */
export interface View {
  readonly xPx: number;
  readonly yPx: number;
  readonly scale: number;
  /** About where the skater stands; null where that is not known. */
  readonly feet: PicturePoint | null;
}

export interface NumberRow {
  readonly name: string;
  /** The stride it belongs to, as numbered in Measure, and its side: "stride 5, left". */
  readonly of?: string;
  /** With unit and u95; or why there is none. */
  readonly text: string;
  readonly had: boolean;
}

/** One clip at one instant: everything that is drawn. */
export interface PanelFrame {
  readonly trial: string;
  readonly clip: string;
  readonly frame: number;
  readonly picture: Picture;
  readonly title: string;
  readonly technique: string;
  /** Where the skater stands, and how large; null = the whole picture is shown, not to scale. */
  readonly view: View | null;
  /** Why it is not shown at the same scale as others, a whole sentence without its stop. */
  readonly unscaled: string | null;
  /** The clip has not begun, or has ended. */
  readonly edge: string | null;
  readonly grid: readonly GridLine[];
  readonly marks: IceMarks;
  /** The time since the moment first. */
  readonly rows: readonly NumberRow[];
  /** Why there are no numbers at all; then there are no rows. */
  readonly refused: string | null;
}

const NO_MARKS: IceMarks = { trail: [], glides: [], lengths: [], limbs: [] };

/** Clip `c` of those lined up, and when each of its frames is, clip seconds. */
interface ClipTimes {
  readonly c: number;
  readonly lined: LinedUp;
  readonly times: readonly number[];
}

/** What one clip shows at each instant. */
export function panelOf(
  whole: WholeStudy,
  { trial, clip, marks, title, technique, at }: Subject & { readonly at: MomentFrame },
  { c, lined, times }: ClipTimes,
  moment: Moment,
  readingOf: ReadingOf,
): { readonly scaled: boolean; at(seconds: number): PanelFrame } {
  const picture = marks.picture!;
  const reading = readingOf(trial.id);
  const strides: readonly Stride[] = reading.ok ? reading.value.strides : [];
  const ofArms = asksForArms(whole.study, trial.technique);
  const scale = scaleOrWhy(whole, trial.id);
  const aim =
    typeof scale === "string"
      ? null
      : aimer(strides, marks.gatePassings ?? [], scale, times, trial.speedFactor);
  const why = reading.ok ? null : (reading.error.coach.split(/\.(?:\s|$)/)[0] ?? "");
  const unscaled =
    typeof scale === "string"
      ? `not to scale: ${scale}`
      : aim
        ? null
        : `the whole picture, at another scale: ${why ? "nothing is measured in it" : "no blade-off tells how far away the skater is"}`;
  const seconds = (frame: number) => realSeconds(times[frame] ?? 0, trial.speedFactor);
  const u95 = EVENT_U95_FRAMES * lined.intervals[c]!;
  const since = (frame: number) => {
    const value = lined.sinceMoment(c, frame);
    if (isContact(moment)) return formatReading({ value, u95 }, "s");
    return `${withUnit(formatNumber(value - lined.sinceMoment(c, at.frame), 3), "s")}, frame to frame`;
  };
  return {
    scaled: aim !== null,
    at(after) {
      const { frame, edge } = lined.shownAfter(c, after);
      const now = latest(strides, frame, seconds);
      const iceScale = typeof scale === "string" ? null : scale;
      const arms =
        reading.ok && ofArms ? armsNow(marks.events, reading.value, iceScale, frame, seconds) : null;
      return {
        trial: trial.id,
        clip,
        frame,
        picture,
        title,
        technique,
        unscaled,
        view: aim && viewOf(aim(frame), picture, c, lined),
        edge: edge && (edge === "before" ? "this clip has not begun" : "this clip has ended"),
        grid: typeof scale === "string" ? [] : gridOf(scale, frame),
        marks: iceScale === null ? NO_MARKS : withArms(iceMarks(strides, iceScale, frame, now), arms),
        refused: why,
        rows:
          why === null
            ? [
                {
                  name: sinceWords(moment),
                  text: since(frame),
                  had: true,
                  ...(edge && { of: edge === "before" ? "at its first frame" : "at its last frame" }),
                },
                row("stride width", now.width),
                ...(arms
                  ? arms.map(armRow)
                  : [
                      row("recovery to midline", now.recovery),
                      row("touchdown to track midline", now.touchdown),
                    ]),
              ]
            : [],
      };
    },
  };
}

/** Of arms their own directions in place of lengths, which lie where those do. */
function withArms(marks: IceMarks, arms: readonly ArmNow[] | null): IceMarks {
  if (!arms) return marks;
  const swings = arms.flatMap(({ length }) => length ?? []);
  const limbs = arms.flatMap((arm) => (arm.limbs.length > 0 ? [arm.limbs] : []));
  return { ...marks, lengths: swings, limbs };
}

function armRow({ side, last }: ArmNow): NumberRow {
  const name = `${side} arm’s direction`;
  if (!last) return { name, text: "no swing marked here", had: false };
  const of = `stride ${last.stride}; 0° along, 90° across`;
  const { reading } = last;
  if (reading.value === null) return { name, of, text: firstSentence(reading.why), had: false };
  return { name, of, text: formatReading(reading, "°"), had: true };
}

function row(name: string, latest: LatestReading | null): NumberRow {
  if (!latest) return { name, text: "none marked here", had: false };
  const { reading, stride } = latest;
  const of = `stride ${stride.stride}, ${stride.side}`;
  if (reading.value === null) return { name, of, text: firstSentence(reading.why), had: false };
  return { name, of, text: formatReading(reading, "m"), had: true };
}

/** The reason; what to do about it does not belong into a film. */
function firstSentence(text: string): string {
  const end = text.search(/[.:;](\s|$)/);
  return end < 0 ? text : text.slice(0, end);
}

function scaleOrWhy(whole: WholeStudy, trialId: string): FittedScale | string {
  const { picture } = whole.marks[trialId]!;
  const { reference, steady } = trialScale(whole, trialId);
  if (!reference) return "there is no ice reference";
  try {
    const scale = fitScale(reference, picture!, iceMarkSd(whole));
    return scale.unprovenWhy === undefined ? seenMoved(scale, steady) : firstSentence(scale.unprovenWhy);
  } catch (error) {
    if (error instanceof MeasureError) return firstSentence(error.coach);
    throw error;
  }
}

const grids = new WeakMap<FittedScale, readonly GridLine[]>();

/** A camera that stands still sees the same grid in every frame. */
function gridOf(scale: FittedScale, frame: number): readonly GridLine[] {
  if (scale.summary.kind !== "ice-points" || scale.summary.motion?.still === false)
    return iceGrid(scale, frame);
  const known = grids.get(scale) ?? iceGrid(scale, frame);
  grids.set(scale, known);
  return known;
}

/** Of the picture's area: where the skater stands in it, from above. */
const FEET = 0.74;

/** At the same scale for all; moved so that no more than needed lies beyond the picture's edges. */
function viewOf(aim: Aim, picture: PanelFrame["picture"], c: number, lined: LinedUp): View {
  const area = pictureAreas(lined.intervals.length)[c]!;
  const scale = PX_PER_METRE / aim.pxPerMetre;
  const left = inside(aim.xPx + 0.5 - area.width / 2 / scale, area.width / scale, picture.width);
  const top = inside(aim.yPx + 0.5 - (FEET * area.height) / scale, area.height / scale, picture.height);
  return { xPx: left, yPx: top, scale, feet: aim };
}

function inside(from: number, length: number, whole: number): number {
  return length >= whole ? (whole - length) / 2 : Math.min(Math.max(from, 0), whole - length);
}
