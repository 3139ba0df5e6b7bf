import type { EventFrame, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { eventWords } from "../words.ts";
import { marksOf, onPicture, withEvents, withMarks } from "./marksOf.ts";

interface Pick {
  readonly trial: string;
  readonly event: EventFrame;
  /** What the same frame is picked for with it: the other arm's extreme. */
  readonly also?: EventFrame;
  readonly picture: MarkedPicture;
}

/** Says that a frame is an event frame. */
export const setEvent: Command<Pick> = {
  name: "setEvent",
  label: ({ event, also }) =>
    `${eventWords(event.event, event.side)}${also ? ` and ${eventWords(also.event, also.side)}` : ""} at frame ${event.frame}`,
  run(whole, { trial, event, also, picture }) {
    const before = onPicture(marksOf(whole, trial), picture);
    const after = withEvents(before, also ? [event, also] : [event]);
    return after.events === before.events ? whole : withMarks(whole, after);
  },
};
