import type { EventFrame, Mark, MarkedPicture, NotSeen } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { eventWords } from "../words.ts";
import { insidePicture, marksOf, onPicture, sameMark, withEvents, withMarks } from "./marksOf.ts";

interface Take {
  readonly trial: string;
  /** The frame that was taken; the other arm's extreme comes with it. */
  readonly events: readonly [EventFrame, ...EventFrame[]];
  /** Its points, each saying where it comes from. */
  readonly marks: readonly Mark[];
  readonly notSeen: readonly NotSeen[];
  readonly picture: MarkedPicture;
}

/** A person looked at a suggested frame and its points, and takes them as they are now. */
export const takeSuggested: Command<Take> = {
  name: "takeSuggested",
  label: ({ events: [{ event, side, frame }] }) =>
    `${eventWords(event, side)} in frame ${frame}, with its points`,
  run(whole, { trial, events, marks, notSeen, picture }) {
    for (const { xPx, yPx } of marks) insidePicture(xPx, yPx, picture);
    const before = onPicture(marksOf(whole, trial), picture);
    const others = before.marks.filter((m) => !marks.some((t) => sameMark(m, t)));
    const seen = (before.notSeen ?? []).filter(
      (n) =>
        ![...marks, ...notSeen].some((p) => n.frame === p.frame && n.point === p.point && n.side === p.side),
    );
    const open = [...seen, ...notSeen];
    return withMarks(whole, {
      ...withEvents(before, events),
      marks: [...others, ...marks],
      ...(before.notSeen || open.length > 0 ? { notSeen: open } : {}),
    });
  },
};
