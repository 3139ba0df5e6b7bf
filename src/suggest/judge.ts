import type { EventName, Side, TrialMarks } from "../study/types.ts";
import type { Eyes, SuggestedPoint } from "./scene.ts";
import { suggestTrial } from "./suggestTrial.ts";
import { bladeOf, lessonsOf, markOf } from "./taught.ts";

/** What would have been suggested for one event a person marked, against what they marked. */
export interface Judged {
  readonly event: EventName;
  readonly side: Side;
  readonly frame: number;
  /** Suggested minus picked, frames; null = not suggested. */
  readonly framesOff: number | null;
  /** Distance of each suggested point from the mark, px, on the frame that was picked. */
  readonly points: readonly {
    readonly point: SuggestedPoint["point"];
    readonly offPx: number;
    readonly uPx: number;
  }[];
  /** Points marked there for which nothing was suggested. */
  readonly withheld: number;
}

/** Strides of a side that are taught. */
const TAUGHT = 2;

/** Whether there is a stride besides the two that are taught: without one nothing can be held against a person's marks. */
export function canJudge({ events, marks }: Pick<TrialMarks, "events" | "marks">): boolean {
  return lessonsOf(events, marks).some((l) => l.all.length > TAUGHT);
}

/**
 * Goes through a trial marked by hand as if it were being marked: two strides a side are taught, those where the skater is
 * largest; every other one is suggested from those confirmed before it, held against the person's marks, and then confirmed
 * as they stand.
 */
export async function judgeTrial(
  hand: TrialMarks,
  realInterval: number,
  eyes: Eyes,
  largestLast: boolean,
): Promise<Judged[]> {
  const lessons = lessonsOf(hand.events, hand.marks).map((l) => ({
    ...l,
    all: largestLast ? [...l.all].reverse() : l.all,
  }));
  const judged: Judged[] = [];
  const longest = Math.max(0, ...lessons.map((l) => l.all.length));
  for (let known = TAUGHT; known < longest; known++) {
    const confirmed = lessons.map((l) => ({ ...l, all: l.all.slice(0, known) }));
    const frames = new Set(confirmed.flatMap((l) => l.all.map((x) => x.frame)));
    const next = lessons.flatMap(({ event, side, all }) => {
      const lesson = all[known];
      return lesson ? [{ event, side, lesson }] : [];
    });
    const events = hand.events.filter((e) =>
      confirmed.some(
        (l) => l.event === e.event && l.side === e.side && l.all.some((x) => x.frame === e.frame),
      ),
    );
    const marks = hand.marks.filter((m) => frames.has(m.frame));
    const given = { marks, picture: hand.picture!, realInterval };
    const free = await suggestTrial({ ...given, events }, eyes);
    // Points are judged on the very frame the person picked.
    const picked = hand.events.filter((e) =>
      next.some((n) => n.event === e.event && n.side === e.side && n.lesson.frame === e.frame),
    );
    const held = await suggestTrial({ ...given, events: [...events, ...picked] }, eyes);
    for (const { event, side, lesson } of next) {
      const near = free.events
        .filter((e) => e.event === event && e.side === side)
        .map((e) => e.frame - lesson.frame)
        .sort((a, b) => Math.abs(a) - Math.abs(b))[0];
      const points = held.points.flatMap((p) => {
        const mark = p.frame === lesson.frame ? markOf(lesson, p.point, p.side) : undefined;
        return mark
          ? [{ point: p.point, offPx: Math.hypot(p.xPx - mark.xPx, p.yPx - mark.yPx), uPx: p.uPx }]
          : [];
      });
      judged.push({
        event,
        side,
        frame: lesson.frame,
        framesOff: near === undefined || Math.abs(near) > 8 ? null : near,
        points,
        withheld: Math.max(0, lesson.marks.filter((m) => !frames.has(m.frame)).length - points.length),
      });
    }
  }
  return judged;
}

/** Whether a blade is longer, px, in the last stride marked than in the first: the skater comes nearer. */
export function comesNearer(hand: TrialMarks): boolean {
  const lengths = lessonsOf(hand.events, hand.marks)
    .filter((l) => l.event === "blade_off" || l.event === "blade_on")
    .flatMap((l) =>
      l.all.flatMap((x) => {
        const blade = bladeOf(x, l.side);
        return blade
          ? [
              {
                frame: x.frame,
                px: Math.hypot(blade.heel.xPx - blade.toe.xPx, blade.heel.yPx - blade.toe.yPx),
              },
            ]
          : [];
      }),
    )
    .sort((a, b) => a.frame - b.frame);
  const half = lengths.length >> 1;
  const sum = (part: typeof lengths) => part.reduce((s, l) => s + l.px, 0) / Math.max(1, part.length);
  return sum(lengths.slice(half)) >= sum(lengths.slice(0, half));
}
