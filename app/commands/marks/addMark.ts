import type { EventFrame, Mark, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { eventWords, pieceWords, pointWords } from "../words.ts";
import {
  findMark,
  insidePicture,
  marksOf,
  moved,
  onPicture,
  sameMark,
  withEvents,
  withMarks,
} from "./marksOf.ts";

interface Put {
  readonly trial: string;
  readonly mark: Mark;
  /** The other end of the same blade, or the other hip, put with the same press. */
  readonly also?: Mark;
  /** What the frame is picked for by that press. */
  readonly becomes?: EventFrame;
  readonly picture: MarkedPicture;
}

/** Puts a point of the body or blade on a frame, or both ends of a piece; what is already there moves. */
export const addMark: Command<Put> = {
  name: "addMark",
  label: ({ mark, also, becomes }) => {
    const what = also ? pieceWords(mark, also) : pointWords(mark.point, mark.side);
    return `mark ${what}${becomes ? ` and ${eventWords(becomes.event, becomes.side)}` : ""}`;
  },
  run(whole, { trial, mark, also, becomes, picture }) {
    const before = onPicture(marksOf(whole, trial), picture);
    const put = (also ? [mark, also] : [mark]).map((m) => withSuggested(m, findMark(before.marks, m)));
    for (const { xPx, yPx } of put) insidePicture(xPx, yPx, picture);
    const others = before.marks.filter((m) => !put.some((p) => sameMark(m, p)));
    const notSeen = before.notSeen?.filter(
      (n) => !put.some((p) => n.frame === p.frame && n.point === p.point && n.side === p.side),
    );
    return withMarks(whole, {
      ...withEvents(before, becomes ? [becomes] : []),
      marks: [...others, ...put],
      ...(notSeen ? { notSeen } : {}),
    });
  },
};

/** Put in the place of one whose suggestion was seen, a mark is that one moved. */
function withSuggested(mark: Mark, before: Mark | undefined): Mark {
  const { from, suggested } = before ?? {};
  if (!from || !suggested || mark.suggested) return mark;
  return moved({ ...mark, from, suggested });
}
