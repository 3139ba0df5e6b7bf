import { MeasureError } from "../../../src/errors.ts";
import type { EventName, Side } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { eventWords } from "../words.ts";
import { marksOf, moved, withMarks } from "./marksOf.ts";

interface Move {
  readonly trial: string;
  readonly event: EventName;
  readonly side: Side;
  readonly from: number;
  readonly to: number;
  /** Clip time of frame `to`, seconds. */
  readonly time: number;
}

/** Moves an event to another frame. Marks stay on the frame they were put on: they are true there. */
export const moveEvent: Command<Move> = {
  name: "moveEvent",
  label: ({ event, side, to }) => `move ${eventWords(event, side)} to frame ${to}`,
  run(whole, { trial, event, side, from, to, time }) {
    const before = marksOf(whole, trial);
    const is = (frame: number) => (e: { event: EventName; side: Side; frame: number }) =>
      e.event === event && e.side === side && e.frame === frame;
    if (from === to || !before.events.some(is(from))) return whole;
    if (before.events.some(is(to))) {
      throw new MeasureError(
        "event-there",
        `moveEvent: ${event} ${side} is already at frame ${to}`,
        `Frame ${to} is already ${eventWords(event, side)}.`,
        { frame: to },
      );
    }
    const events = before.events
      .map((e) => (is(from)(e) ? moved({ ...e, frame: to, time }) : e))
      .sort((a, b) => a.frame - b.frame);
    return withMarks(whole, { ...before, events });
  },
};
