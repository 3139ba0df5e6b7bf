import type { EventName, Side } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { eventWords } from "../words.ts";
import { marksOf, withMarks } from "./marksOf.ts";

/** Takes an event away from its frame; marks on that frame stay. */
export const removeEvent: Command<{ trial: string; event: EventName; side: Side; frame: number }> = {
  name: "removeEvent",
  label: ({ event, side, frame }) => `remove ${eventWords(event, side)} from frame ${frame}`,
  run(whole, { trial, event, side, frame }) {
    const before = marksOf(whole, trial);
    const events = before.events.filter((e) => !(e.event === event && e.side === side && e.frame === frame));
    return events.length === before.events.length ? whole : withMarks(whole, { ...before, events });
  },
};
