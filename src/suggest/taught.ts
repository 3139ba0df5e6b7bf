import type { EventFrame, EventName, Mark, PointName, Side } from "../study/types.ts";

/** A frame a person picked for an event, with what they marked on it. */
export interface Lesson {
  readonly frame: number;
  readonly marks: readonly Mark[];
  /** Whether the frame was picked without a suggestion in sight. */
  readonly byHand: boolean;
}

/** Everything confirmed of one event of one side, by frame. */
export interface Lessons {
  readonly event: EventName;
  readonly side: Side;
  readonly all: readonly Lesson[];
}

const EVENTS: readonly EventName[] = ["blade_off", "recovery_min", "blade_on", "arm_front", "arm_back"];
export const SIDES: readonly Side[] = ["left", "right"];

/** What has been confirmed so far, each event and side by itself. */
export function lessonsOf(events: readonly EventFrame[], marks: readonly Mark[]): Lessons[] {
  const first = new Map<string, Mark>();
  for (const mark of marks) {
    const key = `${mark.frame} ${mark.point} ${mark.side}`;
    // A second pass or person marks without seeing the first; suggestions rest on the first alone.
    const before = first.get(key);
    if (!before || (mark.pass ?? 1) < (before.pass ?? 1)) first.set(key, mark);
  }
  const on = marksByFrame([...first.values()]);
  return EVENTS.flatMap((event) =>
    SIDES.map((side) => ({
      event,
      side,
      all: events
        .filter((e) => e.event === event && e.side === side)
        .map(({ frame, from }) => ({ frame, marks: on.get(frame) ?? [], byHand: isByHand({ from }) }))
        .sort((a, b) => a.frame - b.frame),
    })),
  );
}

export function marksByFrame(marks: readonly Mark[]): ReadonlyMap<number, readonly Mark[]> {
  const frames = new Map<number, Mark[]>();
  for (const mark of marks) {
    const on = frames.get(mark.frame);
    if (on) on.push(mark);
    else frames.set(mark.frame, [mark]);
  }
  return frames;
}

/** Put without a suggestion in sight: taught, or a blind check. */
export function isByHand({ from }: { readonly from?: Mark["from"] }): boolean {
  return from !== "accepted" && from !== "moved";
}

export function markOf(lesson: Lesson, point: PointName, side: Side): Mark | undefined {
  return lesson.marks.find((m) => m.point === point && m.side === side);
}

/** A blade whose two ends are marked. */
export function bladeOf(lesson: Lesson, side: Side): { heel: Mark; toe: Mark } | null {
  const heel = markOf(lesson, "blade_heel", side);
  const toe = markOf(lesson, "blade_toe", side);
  return heel && toe ? { heel, toe } : null;
}

/** Strides of a side that were marked by hand: those of which a blade-off and a blade-on carry their blade, or whose arms do. */
export function taughtStrides(lessons: readonly Lessons[], side: Side): number {
  const marked = (event: EventName, has: (lesson: Lesson) => boolean) =>
    lessons
      .filter((l) => l.event === event && l.side === side)
      .flatMap((l) => l.all)
      .filter(has).length;
  const blade = (l: Lesson) => bladeOf(l, side) !== null;
  const arm = (l: Lesson) => markOf(l, "wrist", side) !== undefined;
  return Math.max(
    Math.min(marked("blade_off", blade), marked("blade_on", blade)),
    Math.min(marked("arm_front", arm), marked("arm_back", arm)),
  );
}
