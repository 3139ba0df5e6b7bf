import { MeasureError } from "../../../src/errors.ts";
import type { ClipPart } from "../../../src/study/exchange.ts";
import { viewsOf } from "../../../src/study/trialViews.ts";
import type { WholeStudy } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Says which frames of a clip matter, both ends included; only these are prepared. null = the whole clip. */
export const setClipPart: Command<{ clip: string; part: ClipPart | null }> = {
  name: "setClipPart",
  label: ({ part }) => (part ? `frames ${part.first} to ${part.last} of the clip` : "the whole clip"),
  run(whole, { clip, part }) {
    if (part) check(whole, clip, part);
    return withStudy(whole, {
      clips: changed(whole.study.clips, clip, ({ part: _, ...rest }) => (part ? { ...rest, part } : rest)),
    });
  },
};

function check(whole: WholeStudy, clip: string, { first, last }: ClipPart): void {
  const whole0 = (n: number) => Number.isSafeInteger(n) && n >= 0;
  if (!whole0(first) || !whole0(last) || first > last) {
    throw new MeasureError(
      "bad-part",
      `setClipPart needs whole frame numbers first <= last, got ${first} and ${last}`,
      "Type two frame numbers, the first not after the last; a time such as 1:41 can be typed under “Choose in pictures”.",
      { first, last },
    );
  }
  const marked = whole.study.trials
    .flatMap(viewsOf)
    .filter((t) => t.clip === clip)
    .flatMap((t) => [...(whole.marks[t.id]?.events ?? []), ...(whole.marks[t.id]?.marks ?? [])])
    .map((m) => m.frame);
  const [least, most] = [Math.min(...marked), Math.max(...marked)];
  if (least < first || most > last) {
    throw new MeasureError(
      "part-leaves-out-marks",
      `setClipPart: frames ${least} to ${most} of clip ${clip} are marked`,
      `Frames ${least} to ${most} of this clip are marked, so the part must hold them.`,
      { least, most },
    );
  }
}
