import { MeasureError } from "../../../src/errors.ts";
import type {
  EventFrame,
  Mark,
  MarkedPicture,
  PointName,
  Side,
  TrialMarks,
  WholeStudy,
} from "../../../src/study/types.ts";
import { emptyMarks } from "../../../src/trials/trialInput.ts";

export function marksOf(whole: WholeStudy, trial: string): TrialMarks {
  return whole.marks[trial] ?? emptyMarks(trial);
}

/** The study with this trial's marks replaced; the same study when they are the same object. */
export function withMarks(whole: WholeStudy, marks: TrialMarks): WholeStudy {
  if (whole.marks[marks.trial] === marks) return whole;
  return { ...whole, marks: { ...whole.marks, [marks.trial]: marks } };
}

/**
 * Binds a trial's marks to the picture they are put on, once.
 *
 * @throws {MeasureError} `other-clip`, `other-picture` when they were put on another one
 */
export function onPicture(marks: TrialMarks, picture: MarkedPicture): TrialMarks {
  const before = marks.picture;
  if (!before) return { ...marks, picture };
  if (before.clip !== picture.clip) {
    throw new MeasureError(
      "other-clip",
      `onPicture needs clip ${before.clip}, got ${picture.clip}`,
      "This trial's marks were put on another clip. Link that clip again, or clear the trial's marks first.",
      { clip: before.clip },
    );
  }
  if (before.width !== picture.width || before.height !== picture.height) {
    throw new MeasureError(
      "other-picture",
      `onPicture needs ${before.width}x${before.height} px, got ${picture.width}x${picture.height} px`,
      `This trial was marked on a picture of ${before.width} x ${before.height} px, but the clip now shows ${picture.width} x ${picture.height} px. Clear the trial's marks to mark it anew.`,
      { width: before.width, height: before.height },
    );
  }
  return marks;
}

/**
 * Refuses a point beyond the picture's edge. The picture reaches from -0.5 to width - 0.5, because (0, 0) is the
 * centre of the first pixel.
 *
 * @throws {MeasureError} `outside-picture`
 */
export function insidePicture(xPx: number, yPx: number, picture: { width: number; height: number }): void {
  const inside = xPx >= -0.5 && yPx >= -0.5 && xPx <= picture.width - 0.5 && yPx <= picture.height - 0.5;
  if (inside) return;
  throw new MeasureError(
    "outside-picture",
    `insidePicture needs 0..${picture.width} x 0..${picture.height} px, got ${xPx}, ${yPx} px`,
    "That is outside the picture, so nothing was marked. Put the point on the frame itself; if it can't be seen there, say so instead.",
    { xPx, yPx },
  );
}

/** The marks with these events as well, by frame; the same marks when they are all there. */
export function withEvents(marks: TrialMarks, events: readonly EventFrame[]): TrialMarks {
  const added = events.filter(
    (a) => !marks.events.some((e) => e.event === a.event && e.side === a.side && e.frame === a.frame),
  );
  if (added.length === 0) return marks;
  return { ...marks, events: [...marks.events, ...added].sort((a, b) => a.frame - b.frame) };
}

/** What was accepted as suggested is moved once a person has put it elsewhere; what is by hand stays by hand. */
export function moved<T extends Pick<Mark, "from">>(put: T): T {
  return put.from === "accepted" ? { ...put, from: "moved" } : put;
}

/** What makes a mark the only one of its kind. */
export interface MarkKey {
  readonly frame: number;
  readonly point: PointName;
  readonly side: Side;
  readonly observer?: string;
  readonly pass?: number;
}

export function sameMark(a: MarkKey, b: MarkKey): boolean {
  return (
    a.frame === b.frame &&
    a.point === b.point &&
    a.side === b.side &&
    a.observer === b.observer &&
    a.pass === b.pass
  );
}

export function findMark(marks: readonly Mark[], key: MarkKey): Mark | undefined {
  return marks.find((m) => sameMark(m, key));
}
