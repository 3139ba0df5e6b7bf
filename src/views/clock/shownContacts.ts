import { MeasureError } from "../../errors.ts";
import { fitScale } from "../../ice/fitScale.ts";
import type { Scale, ScaleSummary } from "../../ice/types.ts";
import { steadyMarks } from "../../kinematics/trial/steadyMarks.ts";
import type { MeasureInput } from "../../kinematics/types.ts";
import type { EventFrame, Mark, PointName, Side } from "../../study/types.ts";
import { EVENT_OFFSET_FRAMES, EVENT_SD_FRAMES } from "../../time/eventTime.ts";
import { medianInterval, orderedFrames } from "../../time/frameTimes.ts";
import { realSeconds } from "../../time/speedFactor.ts";

/** A contact with the ice as one view shows it. */
export interface ShownContact {
  readonly event: "blade_off" | "blade_on";
  readonly side: Side;
  readonly frame: number;
  /** Most likely moment, real seconds of this view's own clock. */
  readonly time: number;
  /** About where that blade was, metres in the ice frame; null where this view cannot say. */
  readonly place: { readonly x: number; readonly y: number } | null;
}

/** What one view shows of when blades leave and meet the ice. */
export interface ShownContacts {
  /** In order of time. */
  readonly contacts: readonly ShownContact[];
  /** Real seconds from one frame to the next. */
  readonly frameSeconds: number;
  /** SD of a contact's time, real seconds. */
  readonly sd: number;
  /** Where the camera stood, where its scale tells. */
  readonly camera: ScaleSummary["camera"];
}

/**
 * Blade-offs and blade-ons of a view in real seconds, each with about where it was.
 *
 * @throws {MeasureError} `views-not-tied` where the time between its frames is not known
 */
export function shownContacts(input: MeasureInput, view: number): ShownContacts {
  const { events, speedFactor } = input;
  const marks = steadyMarks(input.marks, input.steady);
  const interval = input.frameInterval ?? medianInterval(orderedFrames([...marks, ...events]));
  if (interval === null) {
    throw new MeasureError(
      "views-not-tied",
      `shownContacts requires the time between frames; view ${view} has one frame with a time`,
      `View ${view} can't be tied to the others: only one of its frames has a time, so how fast its clip runs is not known. Fill in time_s.`,
      { view },
    );
  }
  const frameSeconds = realSeconds(interval, speedFactor);
  const scale = roughScale(input);
  const contacts = events
    .flatMap((e): ShownContact[] => {
      if (e.event !== "blade_off" && e.event !== "blade_on") return [];
      const time = realSeconds(e.time, speedFactor) + EVENT_OFFSET_FRAMES[e.event] * frameSeconds;
      return [
        { event: e.event, side: e.side, frame: e.frame, time, place: scale && bladePlace(scale, marks, e) },
      ];
    })
    .sort((a, b) => a.time - b.time || a.frame - b.frame);
  const camera = scale?.summary.camera ?? null;
  return { contacts, frameSeconds, sd: EVENT_SD_FRAMES * frameSeconds, camera };
}

/** Only to tell one stride from another, metres apart; whatever is wrong with it is said where it is measured with. */
function roughScale({ iceReference, picture, markSdPx, lens }: MeasureInput): Scale | null {
  if (!iceReference) return null;
  try {
    const scale = fitScale(iceReference, picture, markSdPx, lens);
    return scale.unprovenWhy === undefined ? scale : null;
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

function bladePlace(scale: Scale, marks: readonly Mark[], { frame, side }: EventFrame) {
  const at = (point: PointName) => {
    const mark = marks.find((m) => m.frame === frame && m.side === side && m.point === point);
    return mark ? scale.toIce({ xPx: mark.xPx, yPx: mark.yPx }, frame) : null;
  };
  const [heel, toe] = [at("blade_heel"), at("blade_toe")];
  return heel && toe && { x: (heel.x + toe.x) / 2, y: (heel.y + toe.y) / 2 };
}
