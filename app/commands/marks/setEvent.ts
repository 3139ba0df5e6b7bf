import type { EventFrame, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { eventWords } from "../words.ts";
import { marksOf, onPicture, withMarks } from "./marksOf.ts";

/** Says that a frame is an event frame. */
export const setEvent: Command<{ trial: string; event: EventFrame; picture: MarkedPicture }> = {
  name: "setEvent",
  label: ({ event }) => `${eventWords(event.event, event.side)} at frame ${event.frame}`,
  run(whole, { trial, event, picture }) {
    const before = onPicture(marksOf(whole, trial), picture);
    const there = before.events.some(
      (e) => e.event === event.event && e.side === event.side && e.frame === event.frame,
    );
    if (there) return whole;
    const events = [...before.events, event].sort((a, b) => a.frame - b.frame);
    return withMarks(whole, { ...before, events });
  },
};
