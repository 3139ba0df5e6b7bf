import { MeasureError } from "../../errors.ts";
import { fitScale } from "../../ice/fitScale.ts";
import type { FittedScale } from "../../ice/ground.ts";
import { type GridLine, iceGrid } from "../../ice/iceGrid.ts";
import type { PicturePoint } from "../../ice/types.ts";
import type { Stride } from "../../kinematics/types.ts";
import type { WholeStudy } from "../../study/types.ts";
import { EVENT_U95_FRAMES } from "../../time/eventTime.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { formatNumber, formatReading, withUnit } from "../../uncertainty/format.ts";
import { type Aim, aimer } from "./aim.ts";
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
  /** With unit and u95; or why there is none. */
  readonly text: string;
  readonly had: boolean;
}

/** One clip at one instant: everything that is drawn. */
export interface PanelFrame {
  readonly trial: string;
  readonly clip: string;
  readonly frame: number;
  readonly picture: { readonly width: number; readonly height: number };
  readonly title: string;
  readonly technique: string;
  /** Where the skater stands, and how large; null = the whole picture is shown, not to scale. */
  readonly view: View | null;
  /** Why it is not to scale. */
  readonly unscaled: string | null;
  /** The clip has not begun, or has ended. */
  readonly edge: string | null;
  readonly grid: readonly GridLine[];
  readonly marks: IceMarks;
  /** The time since the moment first. */
  readonly rows: readonly NumberRow[];
}

const NO_MARKS: IceMarks = { trail: [], glides: [], lengths: [] };

/** What one clip shows at each instant. */
export function panelOf(
  whole: WholeStudy,
  { trial, clip, marks, title, technique, at }: Subject & { readonly at: MomentFrame },
  c: number,
  lined: LinedUp,
  times: readonly number[],
  moment: Moment,
  readingOf: ReadingOf,
): { readonly scaled: boolean; at(j: number): PanelFrame } {
  const picture = marks.picture!;
  const reading = readingOf(trial.id);
  const strides: readonly Stride[] = reading.ok ? reading.value.strides : [];
  const scale = scaleOrWhy(whole, trial.id);
  const aim =
    typeof scale === "string"
      ? null
      : aimer(strides, marks.gatePassings ?? [], scale, times, trial.speedFactor);
  const why = reading.ok ? null : firstSentence(reading.error.coach);
  const unscaled =
    typeof scale === "string"
      ? scale
      : aim
        ? null
        : (why ?? "no blade-off point can be placed on the ice, so how far away the skater is is not known");
  const seconds = (frame: number) => realSeconds(times[frame] ?? 0, trial.speedFactor);
  const u95 = EVENT_U95_FRAMES * lined.intervals[c]!;
  const since = (frame: number) => {
    const value = lined.sinceMoment(c, frame);
    if (isContact(moment)) return formatReading({ value, u95 }, "s");
    return `${withUnit(formatNumber(value - lined.sinceMoment(c, at.frame), 3), "s")}, frame to frame`;
  };
  return {
    scaled: aim !== null,
    at(j) {
      const { frame, edge } = lined.shownAt(c, j);
      const now = latest(strides, frame, seconds);
      return {
        ...{ trial: trial.id, clip, frame, picture, title, technique, unscaled },
        view: aim && viewOf(aim(frame), picture, c, lined),
        edge: edge && (edge === "before" ? "this clip has not begun" : "this clip has ended"),
        grid: typeof scale === "string" ? [] : gridOf(scale, frame),
        marks: typeof scale === "string" ? NO_MARKS : iceMarks(strides, scale, frame, now),
        rows: [
          {
            name: sinceWords(moment),
            text: why ?? since(frame),
            had: why === null,
          },
          row("stride width", now.width, why),
          row("recovery to midline", now.recovery, why),
          row("touchdown to track midline", now.touchdown, why),
        ],
      };
    },
  };
}

function row(name: string, latest: LatestReading | null, why: string | null): NumberRow {
  if (!latest) return { name, text: why ?? "none marked here", had: false };
  const { reading, stride } = latest;
  if (reading.value === null) return { name, text: firstSentence(reading.why), had: false };
  return { name: `${name}, ${stride.side}`, text: formatReading(reading, "m"), had: true };
}

/** The reason; what to do about it does not belong into a film. */
function firstSentence(text: string): string {
  const end = text.search(/[.:;](\s|$)/);
  return end < 0 ? text : text.slice(0, end);
}

function scaleOrWhy(whole: WholeStudy, trialId: string): FittedScale | string {
  const { iceReference, picture } = whole.marks[trialId]!;
  if (!iceReference) return "there is no ice reference";
  try {
    return fitScale(iceReference, picture!, whole.study.markSdPx);
  } catch (error) {
    if (error instanceof MeasureError) return firstSentence(error.coach);
    throw error;
  }
}

const grids = new WeakMap<FittedScale, readonly GridLine[]>();

/** A camera that stands still sees the same grid in every frame. */
function gridOf(scale: FittedScale, frame: number): readonly GridLine[] {
  if (scale.summary.kind !== "ice-points") return iceGrid(scale, frame);
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
